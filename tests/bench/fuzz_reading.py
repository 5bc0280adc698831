"""Damage entries at random, a million times, and read them.

A case is a demo entry with bytes changed, cut out, doubled, or joined with another entry's. It must come out as a
record or as findings with a place in the file; an exception ends the run and prints the case.
"""

from __future__ import annotations

import random
import time
from collections import Counter

from builder.records.entries import EntryFile
from builder.records.positions import position_of, positions
from builder.records.reading import list_files, read_content
from tests.bench.arguments import parser
from tests.conftest import ROOT

BITS = [
    b"\x00", b"\xff", b"\xef\xbb\xbf", b"\r", b"\n", b'"', b"'", b'"""', b"\\", b"\\u", b"=", b"[", b"]", b"[[",
    b"{", b"}",    b".", b",", b"#", b"-", b"+", b"1e999", b"nan", b"inf", b"0x", b"9" * 400, b"true",
    b"1979-05-27T07:32:00Z", b"none",    b"\xe2\x80\xae", b"<script>", b"[result]", b"[[result.counts]]",
    b"a.b.c = 1", b"[" * 300, b"\xed\xa0\x80", b"mask",
]  # fmt: skip


def damaged(source: bytes, other: bytes, rng: random.Random) -> bytes:
    """Give a copy with one to six faults."""
    data = bytearray(source)
    # Mostly one fault: several together seldom come past the first reading.
    for _ in range(rng.choice((1, 1, 1, 1, 2, 3, 6))):
        at = rng.randrange(len(data) + 1)
        end = min(len(data), at + rng.randint(0, 12))
        match rng.randrange(6):
            case 0:
                data[at:end] = rng.choice(BITS)
            case 1:
                data[at:at] = rng.choice(BITS)
            case 2:
                del data[at : min(len(data), at + rng.randint(1, 60))]
            case 3:
                data[at:at] = data[at:end]
            case 4:
                data[at:end] = bytes(rng.choices(range(32, 127 if rng.random() < 0.9 else 256), k=end - at))
            case _:
                start = rng.randrange(len(other))
                data[at:end] = other[start : start + rng.randint(1, 80)]
    return bytes(data)


def main(cases: int, seed: int) -> None:
    """Run and report."""
    rng = random.Random(seed)
    root = ROOT / "entries"
    sources: list[tuple[EntryFile, bytes]] = [(f, (root / f.path).read_bytes()) for f in list_files(root).files]
    outcomes: Counter[str] = Counter()
    begun = time.perf_counter()
    for case in range(cases):
        (file, source), (_, other) = rng.choice(sources), rng.choice(sources)
        content = damaged(source, other, rng)
        try:
            read = read_content(file, content)
            if read.found:
                text = content.decode("utf-8-sig", errors="replace")
                places = positions(text)
                assert all(position_of(places, found.finding.key).line >= 1 for found in read.found)
        except Exception:
            print(f"case {case} of seed {seed}, {file.path}:\n{content!r}")
            raise
        outcomes[read.found[0].rule.name if read.found else "a record"] += 1
    print(f"{cases} cases in {time.perf_counter() - begun:.0f} s, no exception\n\n| first finding | cases |\n|---|---|")
    for name, n in outcomes.most_common():
        print(f"| {name} | {n} |")


if __name__ == "__main__":
    arguments = parser(__file__, __doc__)
    arguments.add_argument("cases", nargs="?", type=int, default=1_000_000, help="entries damaged and read")
    arguments.add_argument("seed", nargs="?", type=int, default=1, help="of the damage")
    main(**vars(arguments.parse_args()))
