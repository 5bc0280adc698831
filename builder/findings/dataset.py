"""Everything the pages draw on, computed once from the entries."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping, Set
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import pandas as pd

from builder.findings.hack_memory import remembered_hacks
from builder.findings.kept_table import fingerprint, remembered_table
from builder.findings.likely_pairs import likely_pairs, most_tried
from builder.findings.methods_used import MethodsUsed, measured_by, methods_used, methods_used_by
from builder.findings.standing_in import of_the_same, own_digests, standing_in
from builder.findings.table import SLOT_COLUMNS, tidy_table
from builder.findings.without_remarks import REMARKS, digest_of_figures, of_others
from builder.fit.compare.bridging import estimate_methods, method_arms
from builder.fit.compare.hack_effects import HackEffect, all_hacks
from builder.fit.compare.ladders import Rung, ladder
from builder.fit.compare.measured_arms import MeasuredArms, measured_arms
from builder.fit.compare.methods import METHOD, MethodEffects
from builder.fit.compare.nested_scatter import NestedScatter, nested_scatter
from builder.fit.compare.two_configurations import Comparison
from builder.fit.shared_work import Runs, one_by_one
from builder.fit.summary.summaries import summarise, summarise_by
from builder.records.entries import MaskRecord, Register
from builder.records.known_reads import KnownReads
from builder.records.memory import Memory, digest_of
from builder.records.models import Part
from builder.records.pieces import Pieces
from builder.records.problems import Problem, printable
from builder.records.remembered import Examination
from builder.records.spoken import SPOKEN

# Half of what a comparison would load: imported where a page or a verb asks for it.
if TYPE_CHECKING:
    from builder.findings.forecast import Forecast, NoModel
    from builder.fit.compare.factorial import Factorial
    from builder.fit.compare.network import Network
    from builder.fit.compare.specimen_scatter import SpecimenScatter
    from builder.fit.facemodel import FaceModel, Validation

T = TypeVar("T")

Row = dict[str, Any]
"""A row of a table, by its columns."""


def rows_of(frame: pd.DataFrame) -> list[Row]:
    """Give a table's rows as dictionaries."""
    names = [str(name) for name in frame.columns]
    # A list a column is many times faster than `to_dict`, which looks at every cell.
    columns = [frame[name].tolist() for name in frame.columns]
    return [dict(zip(names, values, strict=True)) for values in zip(*columns, strict=True)]


class EntriesInvalidError(Exception):
    """Raised instead of a dataset when an entry is wrong; carries every problem."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__(f"{len(problems)} problems in the entries")
        self.problems = problems


_MEASURED = [
    *("counted", "wearer", "facial_hair", "mask", "configuration", "parts", *SLOT_COLUMNS, *METHOD),
    *("fit_factor", "at_least", "one_exercise_fit_factor", "four_exercise_fit_factor"),
]
"""The columns of the tidy table that comparisons are made of."""

UNNAMED = "Sealbook"
"""What a database is called that says no name of its own."""


@dataclass(frozen=True, eq=False)
class Dataset:
    """The entries, the tidy table of their tests and the summary of their configurations."""

    root: Path
    entries: Register
    problems: tuple[Problem, ...]
    """Warnings only: errors stop the build, and notes are no problems."""
    table: pd.DataFrame
    summary: pd.DataFrame
    hasty: bool = False
    """Whether what was made before, and an older check of the face model, may stand in until that check is made."""
    contents: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    """The files of the entries by path, as they were read; empty where these are not at hand."""
    digest: str = ""
    """Fingerprint of these, of where they lie, and of the builder; "" where they are not at hand."""
    name: str = UNNAMED
    """What the database calls itself."""
    pieces: Pieces = field(default_factory=Pieces, repr=False)
    """What was made of entries before, by what it was made of."""
    whole: Dataset | None = None
    """Where this holds the tests of one method alone: the database that it is of, whose scatter and chances it has."""
    run: Runs = field(default=one_by_one, repr=False)
    """What runs tasks that take long."""

    @cached_property
    def figured(self) -> Dataset:
        """The same without remarks and files of tests: what is made of it holds until another figure is entered.

        In haste it is all of it: what is made then is told apart by the files.
        """
        if self.hasty:
            return self
        table, others = self.table.drop(columns=REMARKS), of_others(self.contents)
        digest = self.digest and digest_of_figures(table, others)
        return replace(self, root=Path(os.devnull), problems=(), table=table, contents=others, digest=digest)

    @cached_property
    def counted(self) -> pd.DataFrame:
        """The tests that count."""
        return self.table[self.table["counted"]]

    @cached_property
    def rows(self) -> list[Row]:
        """The table's rows: many times faster to go through one by one."""
        return rows_of(self.table)

    @cached_property
    def counted_by_cell(self) -> dict[str, list[Row]]:
        """The rows of the tests that count, by the cell of the face."""
        found: dict[str, list[Row]] = {}
        for row in self.rows:
            if row["counted"]:
                found.setdefault(row["cell"], []).append(row)
        return found

    @cached_property
    def highest(self) -> float:
        """The highest fit factor among the tests of the whole that count, NaN for none."""
        if self.whole:
            return self.whole.highest
        return float(self.counted["fit_factor"].max())

    @cached_property
    def methods(self) -> MethodsUsed:
        """How the tests that count were measured."""
        return methods_used(self.table)

    @cached_property
    def methods_by_mask(self) -> dict[str, MethodsUsed]:
        """How the tests of each mask that count were measured."""
        return methods_used_by(self.table, "mask")

    @cached_property
    def methods_by_cell(self) -> dict[str, MethodsUsed]:
        """How the tests on the faces of each cell that count were measured."""
        return methods_used_by(self.table, "cell")

    @cached_property
    def by_method(self) -> dict[str, Dataset]:
        """The tests of each method alone, by its id; a configuration that has none of it is not in it."""
        tables = {used.id: measured_by(self.table, used.method) for used in self.methods.each}
        return {
            name: replace(
                self,
                table=own,
                summary=self.of_same_tests(f"summary {name}", own["test"], partial(summarise, own)),
                whole=self.whole or self,
            )
            for name, own in tables.items()
        }

    def of_same_tests(self, what: str, tests: Iterable[str], make: Callable[[], T], beside: object = None) -> T:
        """Make something of tests, given by id, and of what stands `beside` them; while served, once for the same."""
        if not self.hasty:
            return make()
        files = {path: self.contents[path] for path in (f"tests/{test}.toml" for test in tests)}
        # What a test's row has of its mask is in none of these files.
        return of_the_same(
            f"{what} {SPOKEN.get()}", f"{self._register_digest} {digest_of(files)} {beside}".encode(), make
        )

    @cached_property
    def _register_digest(self) -> str:
        return digest_of(of_others(self.contents))

    @cached_property
    def invented(self) -> bool:
        """Whether any published record is demo data."""
        records = (
            *(record.mask.source for record in self.entries.masks.values()),
            *(record.part.source for record in self.entries.parts.values()),
        )
        return bool(self.table["invented"].any()) or any(source.invented for source in records)

    @cached_property
    def newest(self) -> str:
        """Day of the newest test, "" without tests."""
        return str(self.table["date"].max()) if len(self.table) else ""

    @cached_property
    def summary_by_id(self) -> dict[str, Row]:
        """The summary's rows by configuration."""
        return {row["configuration"]: row for row in rows_of(self.summary)}

    @cached_property
    def summary_by_mask(self) -> dict[str, list[Row]]:
        """The summary's rows by mask, as sold first."""
        found: dict[str, list[Row]] = {}
        for row in self.summary_by_id.values():
            found.setdefault(row["mask"], []).append(row)
        return found

    @cached_property
    def sold_on_same_wearers(self) -> dict[str, Row]:
        """By changed configuration, the figures of its mask as sold over those alone who tried both."""
        changed = self.counted[self.counted["parts"] != ""]
        pairs = changed[["configuration", "mask", "wearer"]].drop_duplicates()
        sold = self.counted[self.counted["parts"] == ""].drop(columns="configuration")
        both = sold.merge(pairs, on=["mask", "wearer"])
        return {row["configuration"]: row for row in rows_of(summarise(both))}

    @cached_property
    def specimens(self) -> SpecimenScatter | None:
        """How much specimens of one mask differ beside donnings of one; None where too few are named."""
        from builder.fit.compare.specimen_scatter import specimen_scatter

        return specimen_scatter(self.table)

    @cached_property
    def wearing(self) -> pd.DataFrame:
        """What it was like to wear each configuration, and the panel it has filled (`wearing_figures`)."""
        from builder.findings.wearing import wearing_figures

        return wearing_figures(self.table)

    @cached_property
    def wearing_by_id(self) -> dict[str, Row]:
        """Its rows by configuration."""
        return {row["configuration"]: row for row in rows_of(self.wearing)}

    @cached_property
    def summary_by_cell(self) -> dict[str, list[Row]]:
        """The same figures over the faces of each cell alone, of what these have tested."""
        summary = summarise_by(self.table, ["cell", "mask", "configuration", "parts"])
        found: dict[str, list[Row]] = {}
        for row in rows_of(summary[summary["tests"] > 0]):
            found.setdefault(row["cell"], []).append(row)
        return found

    @cached_property
    def measured(self) -> pd.DataFrame:
        """What scatter, methods and parts are compared by: the columns of the table that these are given."""
        return self.table[_MEASURED]

    @cached_property
    def scatter(self) -> NestedScatter:
        """How much repeated donnings of one wearer in one configuration differ."""
        if self.whole:
            return self.whole.scatter
        return nested_scatter(self.measured)

    @cached_property
    def ladders(self) -> Mapping[str, tuple[Rung, ...]]:
        """Each mask's changed configurations against it as sold."""
        return self.of_masks("ladders", self._ladders)

    def _ladders(self, masks: Set[str]) -> dict[str, tuple[Rung, ...]]:
        changed = {
            mask: {row["configuration"]: row["parts"] for row in rows if row["parts"]}
            for mask, rows in self.summary_by_mask.items()
            if mask in masks
        }
        return {mask: ladder(mask, of_mask, self.measured_arms) for mask, of_mask in changed.items()}

    def rung(self, configuration: str) -> Rung | None:
        """A changed configuration against its mask as sold; None for a mask as sold, and where nothing of it counts."""
        own = self.ladders.get(configuration.partition("+")[0], ())
        return next((rung for rung in own if rung.configuration == configuration), None)

    @cached_property
    def reference(self) -> str:
        """The mask that most wearers tried as sold, which others are measured by; "" where none was tried so."""
        return most_tried(self.measured_arms)

    @cached_property
    def network(self) -> Network:
        """All configurations in one, so that any can be the measure of all; in haste that of older tests stands in."""

        def make(_: object) -> dict[str, Network]:
            from builder.fit.compare.network import network

            return {"": network(self.measured_arms)}

        if not self.hasty:
            return make(())[""]
        return standing_in("network", {"": self._register_digest.encode()}, make, older=self.check_is_older)[""]

    @cached_property
    def likely_pairs(self) -> Mapping[str, tuple[Comparison, ...]]:
        """By mask, the comparisons that have a page of their own."""
        return self.of_masks(
            "likely pairs", lambda masks: likely_pairs(self.measured_arms, self.ladders, masks, self.reference)
        )

    @cached_property
    def paged(self) -> frozenset[str]:
        """The changes that have a page beside their mask as sold, and the masks that have one beside the reference."""
        if self.whole:
            return self.whole.paged
        return frozenset(found.b for own in self.likely_pairs.values() for found in own)

    @cached_property
    def hacks(self) -> dict[str, HackEffect]:
        """What each part does, over the wearers and masks it was tried on, by its token."""
        tried = {str(part) for slot in SLOT_COLUMNS for part in self.counted[slot].unique() if part}
        of = self.methods.each[0].id if self.whole else ""
        # Of one method: its tests, with the scatter and the methods' differences of all.
        key = fingerprint(self.measured) + (fingerprint(self.whole.measured) if self.whole else b"")
        return remembered_hacks(key, tried, self._pooled_hacks, of=of, hasty=self.hasty, pieces=self.pieces)

    def _pooled_hacks(self) -> dict[str, HackEffect]:
        found = all_hacks(self.measured, self.measured_arms, SLOT_COLUMNS)
        return {effect.part: effect for effect in found}

    def work_out_shared(self) -> None:
        """Work out what pages of several kinds are made of, before the pages are shared out."""
        each = self, *self.by_method.values()
        _ = self._forecast, *(own.measured_arms for own in each)
        of_each = [(own, name) for own in each for name in ("hacks", "ladders", "factorials")]
        wanted = [*of_each, *((self, name) for name in ("network", "summary_by_cell", "wearing"))]
        made = self.pieces.known_from(self.run, [partial(getattr, own, name) for own, name in wanted])
        for (own, name), value in zip(wanted, made, strict=True):
            vars(own)[name] = value  # where a cached property is looked for

    def work_out(self) -> None:
        """Make what older figures stood in for in haste, of the tests as they are here."""
        at_leisure = replace(self, hasty=False)
        _ = at_leisure.hacks, [own.hacks for own in at_leisure.by_method.values()], at_leisure._forecast

    @cached_property
    def method_effects(self) -> MethodEffects:
        """What methods of measuring differ by, from bridging tests and from inside donnings."""
        if self.whole:
            return self.whole.method_effects
        return estimate_methods(self.measured, method_arms(self.measured, self.scatter))

    @cached_property
    def measured_arms(self) -> MeasuredArms:
        """The readings of each arm by each method: what parts are told apart from."""
        return measured_arms(self.measured, self.scatter, self.method_effects)

    @cached_property
    def factorials(self) -> Mapping[str, tuple[Factorial, ...]]:
        """By mask, what each part did on each wearer who tried several."""
        return self.of_masks("factorials", self._factorials)

    def _factorials(self, masks: Set[str]) -> dict[str, tuple[Factorial, ...]]:
        from builder.fit.compare.factorial import all_factorials

        found: dict[str, list[Factorial]] = {}
        own = self.table[self.table["mask"].isin(masks)]
        for factorial in all_factorials(own, self.measured_arms, SLOT_COLUMNS):
            found.setdefault(factorial.mask, []).append(factorial)
        return {mask: tuple(own) for mask, own in found.items()}

    def of_masks(self, what: str, make: Callable[[Set[str]], Mapping[str, T]]) -> Mapping[str, T]:
        """Make something of each mask that `make` gives it for; in haste `standing_in` spares it most of them."""
        if not self.hasty or self.whole:
            return make(self.entries.masks.keys())
        return standing_in(f"{what} {SPOKEN.get()}", self._own_digests, make, older=self.check_is_older)

    @cached_property
    def _own_digests(self) -> dict[str, bytes]:
        return own_digests(self.contents, self.entries.masks)

    @property
    def model(self) -> FaceModel | None:
        """The face model; None where `no_model` says why it is not used."""
        return self._forecast.model

    @property
    def no_model(self) -> NoModel | None:
        """Why no chances are predicted; None where they are."""
        return self._forecast.no_model

    @cached_property
    def population(self) -> pd.DataFrame:
        """The share of the panel's population that each configuration fits (`FaceModel.population`)."""
        assert self.model is not None
        return self.model.population()

    @property
    def check_is_older(self) -> bool:
        """Whether what is slow to make was made before the last change of the tests."""
        return self.hasty and self._forecast.check_is_older

    @property
    def validation(self) -> Validation | None:
        """How well the face model predicts wearers left out; None with too few tests to say."""
        return self._forecast.validation

    @cached_property
    def _forecast(self) -> Forecast:
        if self.whole:
            return self.whole._forecast
        from builder.findings.forecast import forecast

        return forecast(self.table, hasty=self.hasty, pieces=self.pieces, run=self.run)

    def part(self, token: str) -> Part | None:
        """Find the part behind a token of a configuration id; None where a part was taken out."""
        record = self.entries.parts.get(token)
        return record.part if record else None

    def sizes(self, mask_id: str) -> tuple[MaskRecord, ...]:
        """Every size of the model that a mask belongs to, itself included, sorted by id."""
        mask = self.entries.masks[mask_id].mask
        return tuple(
            record
            for _, record in sorted(self.entries.masks.items())
            if (record.mask.maker, record.mask.model) == (mask.maker, mask.model)
        )


def build_dataset(
    root: Path, memory: Memory | None = None, *, hasty: bool = False, known: KnownReads | None = None
) -> Dataset:
    """Read, check and summarise the entries below `root`; `hasty` as in `Dataset`.

    What was worked out earlier is taken from the `memory`, and from what is `known` of files with the same bytes.

    Raises EntriesInvalidError with every problem when at least one is an error.
    """
    examined = Examination.of(root, memory or Memory(), known=known)
    if any(problem.severity == "error" for problem in examined.problems):
        raise EntriesInvalidError(examined.problems)
    table = remembered_table(examined)
    contents = {path: own for path, own in examined.snapshot.contents.items() if isinstance(own, bytes)}
    warnings, digest = _warnings(examined.problems), examined.snapshot.digest
    summary = summarise(table.drop(columns=REMARKS))
    return Dataset(root, examined.register, warnings, table, summary, hasty, contents, digest)


def planning_dataset(root: Path, memory: Memory | None = None, known: KnownReads | None = None) -> tuple[Dataset, int]:
    """Read the entries to plan with; give them with the number of tests left out because they are wrong.

    One wrong test must not keep anybody from planning the next run, nor from the verdict of an evening. `known` as in
    `build_dataset`. Raises EntriesInvalidError where something else than a test is wrong.
    """
    examined = Examination.of(root, memory or Memory(), known=known)
    errors = [problem for problem in examined.problems if problem.severity == "error"]
    tests = printable(f"{(root / 'tests').as_posix()}/")
    if elsewhere := [problem for problem in errors if not problem.path.startswith(tests)]:
        raise EntriesInvalidError(elsewhere)
    wrong = {problem.path for problem in errors}
    if wrong:
        entries = examined.checked.entries
        sound = tuple(r for r in entries.tests if printable((root / r.path).as_posix()) not in wrong)
        table = tidy_table(replace(entries, tests=sound))
    else:
        table = remembered_table(examined)
    return Dataset(root, examined.register, _warnings(examined.problems), table, summarise(table)), len(wrong)


def _warnings(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    return tuple(problem for problem in problems if problem.severity == "warning")
