"""The `sealbook` command: finds a verb by its name and imports it only when it is used, so that help comes at once."""

from __future__ import annotations

import importlib
import importlib.metadata
import io
import sys
from dataclasses import dataclass
from typing import Any

import click


@dataclass(frozen=True)
class Verb:
    """Where a verb's click command is, as `module:name`, and its one line in the overview."""

    target: str
    help: str


VERBS: dict[str, Verb] = {
    "check": Verb("builder.commands.check:command", "Check every entry, or only the files at or below each PATH."),
    "summary": Verb(
        "builder.commands.summary:command", "Print median, range, wearers and the rest for every configuration."
    ),
    "compare": Verb(
        "builder.commands.compare:command",
        "Compare configuration B with A: how many times as high its fit factor is, and how sure that is.",
    ),
    "parts": Verb(
        "builder.commands.parts:command",
        "Say which part of a change did it, on each wearer who tried several parts on MASK.",
    ),
    "hacks": Verb(
        "builder.commands.hacks:command",
        "Say what each part, or only PART, does to the fit factor on the same wearer, all else equal.",
    ),
    "suggest": Verb(
        "builder.commands.suggest:command",
        "Say what to try first on a face, and how likely each configuration is to reach a fit factor of 100.",
    ),
    "plan": Verb(
        "builder.commands.plan:command",
        "Plan a run on MASK: every combination of the parts, in an order of few changes.",
    ),
    "bench": Verb(
        "builder.commands.bench:command",
        "Keep one evening at the counter: each take becomes an entry at once, and the verdict comes with it.",
    ),
    "counts": Verb("builder.commands.counts:command", "Work out the fit factors of a run from its particle counts."),
    "new": Verb(
        "builder.commands.new:command", "Make the file of a new test, mask or part, asking only for what is needed."
    ),
    "add": Verb("builder.commands.add:command", "Add a test for each row of a table, all of them or none."),
    "rename": Verb("builder.commands.rename:command", "Give a mask or a part another id, everywhere at once."),
    "split": Verb("builder.commands.split:command", "Split MASK into its sizes, and each of its tests to one of them."),
    "join": Verb("builder.commands.join:command", "Join two spellings of one wearer."),
    "withdraw": Verb("builder.commands.withdraw:command", "Withdraw all tests of a wearer or of a contributor."),
    "review": Verb(
        "builder.commands.review:command",
        "Say what changes from BASE on: entries, published figures, and what looks odd.",
    ),
    "export": Verb("builder.commands.export:command", "Write the open data into DIR, which must be new or empty."),
    "start": Verb(
        "builder.commands.start:command",
        "Make the folder of a database of your own in DIR, which must be new or empty.",
    ),
    "demo": Verb("builder.commands.demo:command", "Write invented entries into DIR, which must be new or empty."),
}


class LazyGroup(click.Group):
    """A group of the verbs in `VERBS`. The overview is written from that table without importing any of them."""

    def main(self, *args: Any, **keywords: Any) -> Any:
        """Run a verb; what the system refuses, such as to print on a full disk, ends it with 1 and one plain line."""
        try:
            return super().main(*args, **keywords)
        except OSError as error:
            from builder.commands.refusals import tell_refusal

            tell_refusal(error)
            sys.exit(1)

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Name the verbs in the order of the table."""
        return list(VERBS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the verb that is asked for."""
        if not (verb := VERBS.get(cmd_name)):
            return None
        module, _, name = verb.target.partition(":")
        command: click.Command = getattr(importlib.import_module(module), name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the overview of the verbs."""
        with formatter.section("Verbs"):
            formatter.write_dl([(name, verb.help) for name, verb in VERBS.items()])


def _show_version(ctx: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted and not ctx.resilient_parsing:
        try:
            click.echo(f"sealbook {importlib.metadata.version('sealbook')}")
        except importlib.metadata.PackageNotFoundError:
            click.echo("sealbook, not installed: run from its source")
        ctx.exit()


@click.group(
    cls=LazyGroup,
    subcommand_metavar="VERB [ARGS]...",
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Example: sealbook check",
)
@click.option(
    "--version", is_flag=True, is_eager=True, expose_value=False, callback=_show_version, help="Show the version."
)
def main() -> None:
    """Mask fit tests from many faces: check the entries, summarise them, publish them."""
    # A terminal that cannot show a character gets its code instead of a traceback.
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
