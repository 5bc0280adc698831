"""A folder that changes in one step: made aside, then exchanged, so that nobody ever sees half of it."""

from __future__ import annotations

import ctypes
import os
import re
import shutil
from pathlib import Path

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2


def staging_folder(target: Path) -> Path:
    """Make an empty folder beside `target` to build in, and remove those that killed builds left there.

    Raises OSError where the folder that holds `target` cannot be written to.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    pattern = re.compile(rf"\.{re.escape(target.name)}-building-(\d+)")
    for path in sorted(target.parent.iterdir()):
        left = pattern.fullmatch(path.name)
        if left and not _is_running(int(left[1])):
            shutil.rmtree(path, ignore_errors=True)
    folder = target.with_name(f".{target.name}-building-{os.getpid()}")
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    # The folder takes the target's place, and with it the rights by which a web server reads it.
    folder.chmod(target.stat().st_mode & 0o777 if target.is_dir() else 0o755)
    return folder


def publish(folder: Path, target: Path) -> None:
    """Put a finished folder in the place of `target`, and remove what stood there.

    Where the system can, the two are exchanged in one step. Elsewhere `target` is missing for the moment between two
    renames. Raises OSError where neither works, with `target` as it was.
    """
    if not target.exists():
        try:
            folder.rename(target)
        except OSError:
            if not target.exists():
                raise
            # Another build was ready in this very moment.
        else:
            return
    if not _exchange(folder, target):
        old = folder.with_name(f"{folder.name}-old")
        target.rename(old)
        try:
            folder.rename(target)
        except OSError:
            old.rename(target)
            raise
        folder = old
    shutil.rmtree(folder, ignore_errors=True)


def _exchange(first: Path, second: Path) -> bool:
    """Exchange two folders by Linux's renameat2(2); False where there is no such call, or not for this file system."""
    try:
        call = ctypes.CDLL(None, use_errno=True).renameat2
    except (AttributeError, OSError, TypeError):
        return False
    return bool(call(_AT_FDCWD, os.fsencode(first), _AT_FDCWD, os.fsencode(second), _RENAME_EXCHANGE) == 0)


def _is_running(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True  # it runs for somebody else
    return True
