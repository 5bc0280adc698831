"""`sealbook start`: the folder of a database of one's own."""

from __future__ import annotations

import importlib.metadata
import shlex
import sys
from collections.abc import Callable
from pathlib import Path

import click

from builder.commands.saving import check_free, save


@click.command(
    "start",
    epilog="Example: sealbook start our-bench --name 'Our mask bench' --repository https://github.com/our-club/our-bench",
)
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--name", metavar="TEXT", help="What the database calls itself.")
@click.option(
    "--repository", metavar="ADDRESS", help="Where its files will be, as https://github.com/our-club/our-bench."
)
@click.option(
    "--address",
    metavar="ADDRESS",
    help="Where its site will be published; that of GitHub Pages where the repository is at github.com.",
)
@click.option(
    "--builder",
    metavar="ADDRESS",
    help="Where to install the builder from, as git+https://HOST/PATH@COMMIT or a wheel; where this one came from, if "
    "pip noted it.",
)
def command(
    *, folder: Path, name: str | None, repository: str | None, address: str | None, builder: str | None
) -> None:
    """Make the folder of a database of your own in DIR, which must be new or empty.

    Says what to do next. In the folder are empty entries, its name and addresses in mkdocs.yml, the builder's address
    in requirements.txt, the workflow that checks and publishes, and the licence. The code stays where it is.
    """
    from builder.home import beginning

    check_free(folder, but=(".git",))
    name = _answer("--name", "What it calls itself", name, beginning.bad_name)
    repository = _answer("--repository", "Address of its repository", repository, beginning.bad_address)
    repository = repository.rstrip("/").removesuffix(".git")
    address = address or beginning.pages_address(repository) or None
    address = _answer("--address", "Address of its site", address, beginning.bad_address).rstrip("/") + "/"
    line = beginning.pinned(builder) if builder else beginning.installed_from(_note_of_pip())
    if line is None:
        raise click.BadParameter(
            "Name the repository of the builder and one commit of it: git+https://HOST/PATH@COMMIT, the commit with "
            "all its 40 digits and letters as `git ls-remote https://HOST/PATH HEAD` prints it; or the address of a "
            "wheel, with #sha256= and its checksum behind it where it is on the web.",
            param_hint="--builder",
        )
    save(folder, beginning.NewHome(name, address, repository, line).texts())
    click.echo(_next_steps(folder, name, repository, address))


def _answer(option: str, question: str, given: str | None, wrong: Callable[[str], str]) -> str:
    """Take an option, or ask for it where somebody can be asked. Raises a usage error for what cannot be used."""

    def checked(text: str) -> str:
        if said := wrong(text.strip()):
            raise click.BadParameter(said, param_hint=option)
        return text.strip()

    if given is not None:
        return checked(given)
    if sys.stdin is None or not sys.stdin.isatty():
        raise click.UsageError(f"{option} is missing: {question[:1].lower()}{question[1:]}.")
    answer: str = click.prompt(question, value_proc=checked)
    return answer


def _note_of_pip() -> str | None:
    try:
        return importlib.metadata.distribution("sealbook").read_text("direct_url.json")
    except importlib.metadata.PackageNotFoundError:
        return None


def _next_steps(folder: Path, name: str, repository: str, address: str) -> str:
    return f"""\
Made {folder}, the database “{name}”. What to do next:

1. Look at it:
     cd {shlex.quote(str(folder))}
     python3 -m venv .venv && .venv/bin/pip install -q -r requirements.txt && .venv/bin/mkdocs serve
2. Make an empty repository at {repository} and push to it:
     git init -b main && git add -A && git commit -m "Begin"
     git remote add origin {repository}.git && git push -u origin main
3. There, under Settings, Pages, choose the source “GitHub Actions”. Then, under Actions, run the jobs of the first
   push again: the site appears at {address}
4. Under Settings, Rules, add a branch ruleset for main: require a pull request, and that the status checks “check”
   and “review” pass.
5. Add the first entries on a branch of their own:
     git switch -c first-tests
     .venv/bin/sealbook new mask, then new test, then check
     git add -A && git commit -m "First tests" && git push -u origin first-tests
   and open a pull request from it. “check” names what is wrong; the summary of “review” says what changes."""
