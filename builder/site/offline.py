"""What keeps the bench page working without network: a service worker with the list of all that the page needs.

The list is read off the finished site, so that it holds the very files that are published, each with its digest: a
browser takes all of them or none, and never some of one build with some of another.
"""

from __future__ import annotations

import base64
import hashlib
import posixpath
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from builder.site.published import compact_json

PAGE = "bench/index.html"
WORKER = "bench/worker.js"
SCRIPT = "assets/scripts/bench/offline-worker.js"
DATA = ("bench/known.json", "contribute/form.json")

_LINKED = re.compile(r'<(?:script|link|img)\b[^>]*?\b(?:src|href)="([^"#]+)"')
_ASKED = re.compile(r"data-module=.([\w-]+)")
_IMPORTED = re.compile(r"""(?:\bfrom|^import)\s*["']([^"']+)["']""", re.MULTILINE)
_NAMED_MODULE = re.compile(r"""\["([a-z-]+)", \(\) => import\("([^"]+)"\)\]""")
_STYLED = re.compile(r"""url\(["']?(?!data:)([^"')#]+)""")
_COMMENT = re.compile(r"/\*.*?\*/|^\s*//[^\n]*", re.DOTALL | re.MULTILINE)


def write_worker(site: Path, folder: str = "") -> None:
    """Write the service worker of a finished site, where it has the bench page in the language below a folder."""
    if (site / folder / PAGE).is_file():
        (site / folder / WORKER).write_text(worker(site, folder), "utf-8")


def worker(site: Path, folder: str = "") -> str:
    """Give the script of the service worker: the list, and the script that goes by it."""
    files, bench = needed(site, folder), folder + "bench"
    digests = {path: _digest((site / path).read_bytes()) for path in files}
    build = hashlib.sha256(compact_json(digests).encode()).hexdigest()[:16]
    # Some hosts add to pages on their way; the page itself is taken as it comes.
    listed = {
        posixpath.relpath(path, bench): "" if path == folder + PAGE else digest for path, digest in digests.items()
    }
    script = posixpath.relpath(SCRIPT, bench)
    return f"self.sealbookOffline = {compact_json({'build': build, 'files': listed})};\nimportScripts({script!r});\n"


def needed(site: Path, folder: str = "") -> list[str]:
    """Name the files that the page loads, itself included, sorted; all below `site`."""
    place = folder + PAGE
    page = (site / place).read_text("utf-8")
    modules = set(_ASKED.findall(page))
    todo = [*(folder + file for file in DATA), *_below(place, _LINKED.findall(page))]
    found = {place}
    while todo:
        path = todo.pop()
        if path not in found and (site / path).is_file():
            found.add(path)
            todo += _below(path, _loaded(site / path, modules))
    return sorted(found)


def _loaded(file: Path, modules: set[str]) -> Iterator[str]:
    """Give the addresses that a script or a style loads; of what it loads on demand, what the page asks for."""
    if file.suffix == ".js":
        code = _COMMENT.sub("", file.read_text("utf-8"))
        yield from _IMPORTED.findall(code)
        yield from (address for name, address in _NAMED_MODULE.findall(code) if name in modules)
    elif file.suffix == ".css":
        yield from _STYLED.findall(file.read_text("utf-8"))


def _below(path: str, addresses: Iterable[str]) -> list[str]:
    """Resolve addresses within the site, as seen from one of its files."""
    folder = posixpath.dirname(path)
    return [posixpath.normpath(posixpath.join(folder, address)) for address in addresses if ":" not in address]


def _digest(content: bytes) -> str:
    """Give the digest of a file as browsers check it (W3C, Subresource Integrity)."""
    return f"sha256-{base64.b64encode(hashlib.sha256(content).digest()).decode()}"
