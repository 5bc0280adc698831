"""What is git's own and has no place among entries."""

import re
import unicodedata

from builder.records.problems import Finding, Rule, printable

RULE = Rule(
    "git-files",
    "Nothing of git's own",
    """Nothing among the entries is git's own: no `.gitattributes`, no `.gitmodules`, no repository, no submodule.

An entry is text and runs nothing. But git takes any folder with `HEAD`, `objects` and `refs` for a repository, and runs
on the next computer what its `config` names; `.gitattributes` sends files through programs. `.gitignore` would hide
entries from git that are counted here. A submodule's files lie elsewhere, where nobody checks them. Since git keeps no
empty folders, one in `tests` may be a submodule as others get it, and is a warning; `sealbook review` knows for sure.

`.gitkeep` and `.github` are harmless and may stand anywhere.
""",
)

# Source: gitrepository-layout. Of these only HEAD marks a repository by itself: git looks for it first.
HEAD = "head"
_REPOSITORY = frozenset({HEAD, "config", "config.worktree", "commondir", "objects", "refs", "hooks", "packed-refs"})
_HARMLESS = frozenset({".gitkeep", ".github"})
# Windows gives long names short ones as well, such as GIT~1 (git-config, "core.protectNTFS").
_GITS = re.compile(r"\.git|git~\d")


def is_gits(name: str) -> bool:
    """Whether git reads a file or folder by this name, or a file system takes the name for such a one."""
    # HFS+ passes over characters that are not seen (git-config, "core.protectHFS").
    seen = "".join(c for c in name if unicodedata.category(c) != "Cf").casefold()
    return _GITS.match(seen) is not None and seen not in _HARMLESS


def is_of_a_repository(name: str) -> bool:
    """Whether a file or folder by this name is part of a repository, where nothing else may be called so."""
    return name.casefold() in _REPOSITORY


def named(name: str) -> Finding:
    """Report a name that git reads, or one that is part of a repository."""
    if name == ".git":
        return Finding((), "A repository of its own begins here.", "Move it out of the entries folder.")
    if is_gits(name):
        return Finding(
            (),
            f"{printable(name)} is a name of git's own.",
            "Delete it: settings of git belong outside the entries folder.",
        )
    return Finding(
        (),
        f"{printable(name)} is part of a repository: git may take this folder for one, and run what its config names.",
        "Delete it.",
    )


def empty_folder() -> Finding:
    """Report a folder of tests without any: at hand an oversight, in what others sent a submodule."""
    return Finding(
        (),
        "This folder is empty. git keeps no empty folders, so if it came by git it is a submodule.",
        "Delete it, or put a test into it.",
        severity="warning",
    )


def submodule() -> Finding:
    """Report what git says is a submodule."""
    return Finding(
        (),
        "This is a submodule, a link to another repository, whose files nobody checks.",
        "Remove it with `git rm`, and add the files themselves.",
    )
