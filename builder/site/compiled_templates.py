"""Templates as they were compiled, kept where Python keeps modules as it compiled them, and no less trusted."""

from __future__ import annotations

import sys
from contextlib import suppress
from importlib.util import cache_from_source
from pathlib import Path
from zlib import crc32

from jinja2 import FileSystemBytecodeCache
from jinja2.bccache import Bucket


class CompiledTemplates(FileSystemBytecodeCache):
    """A file a template in the folder of this package's compiled modules, for an environment with some options.

    Jinja compiles a template anew whose text is another, and where a file cannot be used.
    """

    def __init__(self, options: object) -> None:
        """Name the files by the options too: a template is compiled otherwise with others."""
        folder = Path(cache_from_source(__file__)).parent
        super().__init__(str(folder), f"template-%s-{crc32(repr(options).encode()):08x}.cache")

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a template, where modules would be kept."""
        if not sys.dont_write_bytecode:
            with suppress(OSError):
                super().dump_bytecode(bucket)
