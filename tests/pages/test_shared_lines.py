"""What files of a day say alike stands once: with it each is whole again, and nothing is taken out of a longer text."""

from __future__ import annotations

from itertools import groupby

from builder.findings.dataset import Dataset
from builder.site.shared_lines import LEFT_OUT, parted

HEAD = 'mask = "a"\ndate = 2026-10-02\n\n'
FIRST = f'{HEAD}[face]\nwearer = "w"\n\n[result]\nfit_factor = 7\n\n[[result.counts]]\nseconds = 9\n'
SECOND = f'{HEAD}[configuration]\n\n[face]\nwearer = "w"\nbridge = "low"\n\n[result]\nfit_factor = 8\n'


def test_lines_that_all_have_stand_once_in_their_tables() -> None:
    assert parted([FIRST, SECOND]) == (
        'mask = "a"\ndate = 2026-10-02\n\n[face]\nwearer = "w"',
        [
            f"{LEFT_OUT}\n[result]\nfit_factor = 7\n\n[[result.counts]]\nseconds = 9",
            f'{LEFT_OUT}\n[configuration]\n\n[face]\nbridge = "low"\n\n[result]\nfit_factor = 8',
        ],
    )


def test_files_stay_as_they_are_where_they_cannot_be_parted() -> None:
    assert parted([FIRST]) is None
    assert parted([HEAD, HEAD]) is None
    assert parted([FIRST, SECOND + 'notes = """\nlong"""\n']) is None
    assert parted(["a = 1\n", "b = 1\n"]) is None


def test_each_file_of_the_demo_is_whole_with_what_it_shares(demo: Dataset) -> None:
    def lines(text: str) -> list[tuple[str, str]]:
        head, found = "", []
        for line in text.splitlines():
            head = line if line.startswith("[") else head
            if line not in ("", head, LEFT_OUT):
                found.append((head, line))
        return sorted(found)

    days = groupby(sorted(demo.table["test"]), key=lambda test: test.rpartition("-")[0])
    several = [[demo.contents[f"tests/{test}.toml"].decode() for test in tests] for _, tests in days]
    told = [(files, found) for files in several if (found := parted(files))]
    assert len(told) > 50
    for files, (shared, each) in told:
        for file, own in zip(files, each, strict=True):
            assert lines(file) == sorted((*lines(shared), *lines(own)))
