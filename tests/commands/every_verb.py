"""A call of every verb on a small bench, for tests that loop over all of them."""

from __future__ import annotations

from pathlib import Path

from builder.records import kept_bench
from tests.records import samples

TABLE = """\
mask,date,contributor,wearer,facial_hair,protocol,fit_factor
drum-cup,2026-09-13,grey-bench,red-kite,none,free,64
drum-cup,2026-09-14,grey-bench,red-kite,none,free,70
"""
LOG = "seconds,phase,exercise,particles\n10,ambient,,10000\n20,mask,talking,90\n30,ambient,,10100\n"
UNTIDY = samples.TEST.partition("\n")[2]
PERSON = ["--contributor", "grey-bench", "--wearer", "red-kite", "--facial-hair", "none"]


def writing(home: Path) -> dict[str, list[str]]:
    """A call of each verb that writes, below a folder that holds entries and files to read."""
    entries = ["--entries", str(home / "entries")]
    changed = [*entries, "--yes"]
    return {
        "rename": ["rename", "mask", "drum-cup", "cup", *changed],
        "split": ["split", "drum-cup", "--size", "cup-s=S", "--size", "cup-m=M", "--rest", "cup-m", *changed],
        "join": ["join", "blue-heron", "red-kite", *changed],
        "withdraw": ["withdraw", "wearer", "blue-heron", *changed],
        "new": ["new", "part", "--name", "Tape", "--slot", "edge", "--material", "paper", "--fitting", "On the rim.",
                "--can-be-undone", *entries],
        "add": ["add", str(home / "tests.csv"), *entries],
        "counts": ["counts", str(home / "log.csv"), "--write", "--mask", "drum-cup", "--date", "2026-09-13",
                   "--protocol", "free", *PERSON, *entries],
        "plan": ["plan", "drum-cup", "--vary", "nose-foam=none", "--wearer", "red-kite", "--facial-hair", "none",
                 "--write", str(home / "entries"), *entries],
        "check": ["check", "--fix", *entries],
        "export": ["export", str(home / "open"), *entries],
        "bench": ["bench", "64", "--mask", "drum-cup", "--change", "as-sold", "--date", "2026-09-13",
                  "--protocol", "free", *PERSON, *entries],
        "start": ["start", str(home / "own"), "--name", "Our bench", "--repository", "https://example.org/our/bench",
                  "--address", "https://bench.example", "--builder", f"git+https://example.org/s.git@{'a' * 40}"],
        "demo": ["demo", str(home / "demo"), "--tests", "5", "--wearers", "2", "--masks", "1"],
    }  # fmt: skip


WRITING = list(writing(Path()))


def reading(home: Path) -> dict[str, list[str]]:
    """A call of each verb that writes nothing, on the same entries."""
    entries = ["--entries", str(home / "entries")]
    return {
        "summary": ["summary", *entries],
        "compare": ["compare", "drum-cup+no-nose-foam", "drum-cup", *entries],
        "parts": ["parts", "drum-cup", *entries],
        "hacks": ["hacks", *entries],
        "suggest": ["suggest", "--length", "117", "--width", "138", *entries],
        "review": ["review", "HEAD", *entries],
    }


def laid_out(home: Path) -> Path:
    """Write the entries and files that the calls are about."""
    more: dict[str, str | bytes] = {
        "tests/drum-cup/2026-09-12-blue-heron-2.toml": UNTIDY.replace("= 50", "= 60"),
        "tests/drum-cup/2026-09-12-red-kite-1.toml": samples.TEST.replace("blue-heron", "red-kite")
        .replace("= 50", "= 70")
        .replace('[configuration]\nnose-foam = "none"\n\n', ""),
    }
    samples.write(home / "entries", more)
    (home / "tests.csv").write_text(TABLE)
    (home / "log.csv").write_text(LOG)
    return home


def kept(home: Path) -> dict[str, bytes]:
    """Every file with its bytes, but for what the bench remembers."""
    files = {path.relative_to(home).as_posix(): path for path in sorted(home.rglob("*")) if path.is_file()}
    return {name: path.read_bytes() for name, path in files.items() if kept_bench.FOLDER not in name}
