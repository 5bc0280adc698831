"""A review runs no program that a branch, a configuration or a variable names.

Each test first lets git itself run the program, so that the way is known to be open, and then asks for a review.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from tests.records import samples
from tests.review.repository import IDENTITY, commit, git, start


class Bench:
    """A repository with entries, and beside it a program that leaves a mark when it runs."""

    def __init__(self, folder: Path) -> None:
        self.top = folder / "bench"
        self.entries = samples.write(self.top / "entries")
        start(self.top)
        git(self.top, "branch", "base")
        self.mark = folder / "ran"
        self.program = folder / "program"
        self.program.write_text(f"#!/bin/sh\necho \"$0 $*\" >> '{self.mark}'\nexit 1\n")
        self.program.chmod(0o755)

    def is_open(self, folder: Path, *arguments: str, ran: bool = True) -> None:
        """Let git itself run the program, or see that it does not."""
        # What later versions of git refuse unless told otherwise.
        command = ["git", "-C", str(folder), "-c", "safe.bareRepository=all", *arguments]
        subprocess.run(command, env={**os.environ, **IDENTITY}, capture_output=True, check=False)
        assert self.mark.exists() is ran
        self.mark.unlink(missing_ok=True)

    def review(self, *arguments: str) -> Result:
        """Review; nothing may have run."""
        result = CliRunner().invoke(main, ["review", "base", *arguments, "--entries", str(self.entries)])
        assert not self.mark.exists(), self.mark.read_text()
        assert result.exception is None or isinstance(result.exception, SystemExit), result.output
        return result

    def reviews(self) -> tuple[str, str]:
        """Review the work tree, and the last commit; both have to find errors. Give what they say of them."""
        results = self.review(), self.review("--head", "HEAD")
        assert [result.exit_code for result in results] == [1, 1], results[0].output + results[1].output
        return results[0].stdout, results[1].stdout


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)


def bring_repository(folder: Path, config: str) -> None:
    """Write what git takes for a repository, with the objects of the one around the entries."""
    files = {
        "HEAD": "ref: refs/heads/main\n",
        "config": f"[core]\nrepositoryformatversion = 0\nbare = false\n{config}\n",
        "objects/info/alternates": "../../.git/objects\n",
        "refs/heads/keep": "",
        "hooks/post-index-change": "",
    }
    for path, text in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text)


def test_a_repository_among_the_entries(bench: Bench) -> None:
    bring_repository(bench.entries, f"worktree = ..\nfsmonitor = {bench.program}")
    bench.is_open(bench.entries, "status")
    commit(bench.top, "a branch")
    bench.is_open(bench.entries, "status")
    for said in bench.reviews():
        for name in ("HEAD", "config", "objects", "refs", "hooks"):
            assert f"`{bench.entries}/{name}` line 1, `git-files`: {name} is part of a repository" in said
        assert "### Problems: 5 errors" in said


@pytest.mark.parametrize("place", ["masks", "tests/drum-cup", ".hidden/deep"])
def test_a_repository_deeper_among_the_entries(bench: Bench, place: str) -> None:
    bring_repository(bench.entries / place, f"worktree = {bench.top}\nfsmonitor = {bench.program}")
    (bench.entries / place / "objects/info/alternates").write_text(f"{bench.top}/.git/objects")
    bench.is_open(bench.entries / place, "status")
    commit(bench.top, "a branch")
    for said in bench.reviews():
        assert f"`{bench.entries}/{place}/HEAD` line 1, `git-files`: HEAD is part of a repository" in said
    bench.entries = bench.entries / place
    bench.review()


def test_entries_that_are_a_link_to_a_repository(bench: Bench) -> None:
    (bench.top / "brought").mkdir()
    bring_repository(bench.top / "brought", f"worktree = ..\nfsmonitor = {bench.program}")
    bench.entries.rename(bench.top / "brought" / "entries")
    bench.entries.symlink_to("brought")
    commit(bench.top, "a branch")
    bench.is_open(bench.entries, "status")
    assert "In HEAD, entries is no folder." in bench.review().stderr
    git(bench.top, "rm", "-q", "--cached", "entries")
    git(bench.top, "commit", "-q", "-m", "a link of one's own")
    bench.is_open(bench.entries, "status")
    assert "`git-files`: HEAD is part of a repository" in bench.review().stdout


def test_a_file_that_leads_git_astray(bench: Bench) -> None:
    bring_repository(bench.top / "brought", f"worktree = {bench.top}\nfsmonitor = {bench.program}")
    commit(bench.top, "a branch")
    (bench.entries / ".git").write_text("gitdir: ../brought\n")
    bench.is_open(bench.entries, "status")
    result = bench.review()
    assert result.exit_code == 2
    assert "which a branch may have brought: it is not trusted." in result.stderr


def configured(bench: Bench) -> str:
    """A configuration that names the program wherever git looks for one."""
    program = bench.program
    return f"""
[core]
    fsmonitor = {program}
    pager = {program}
    editor = {program}
    sshCommand = {program}
    askPass = {program}
    gitProxy = {program}
    alternateRefsCommand = {program}
    hooksPath = {bench.top}/hooks
    attributesFile = {bench.top}/attributes
[pager]
    ls-tree = {program}
    rev-parse = {program}
    cat-file = {program}
    merge-base = {program}
[alias]
    ls-tree = !{program}
    rev-parse = !{program}
[filter "x"]
    clean = {program}
    smudge = {program}
    required = true
[filter "y"]
    process = {program}
[diff]
    external = {program}
[diff "x"]
    textconv = {program}
[diff "y"]
    command = {program}
[merge "x"]
    driver = {program}
[gpg]
    program = {program}
[log]
    showSignature = true
[credential]
    helper = !{program}
[interactive]
    diffFilter = {program}
[uploadpack]
    packObjectsHook = {program}
[remote "x"]
    promisor = true
    partialCloneFilter = blob:none
    url = ext::{program}
    uploadpack = {program}
    vcs = x
[protocol]
    allow = always
[fetch]
    recurseSubmodules = true
[submodule]
    recurse = true
"""


@pytest.mark.parametrize("included", [False, True])
def test_a_configuration_that_names_programs(bench: Bench, included: bool) -> None:
    """The repository's own; or a file of the branch, which some projects have theirs include."""
    config = bench.top / ".git" / "config"
    if included:
        (bench.top / ".gitconfig").write_text(configured(bench))
        git(bench.top, "config", "include.path", "../.gitconfig")
    else:
        config.write_text(config.read_text() + configured(bench))
    bench.is_open(bench.entries, "status")
    (bench.entries / samples.PART_PATH).write_text(samples.PART + "\n# more\n")
    bench.is_open(bench.entries, "-c", "core.fsmonitor=false", "diff")
    assert bench.review().exit_code == 0
    assert bench.review("--head", "HEAD").exit_code == 0
    assert "git knows no commit called" in bench.review("--head", "1234567890" * 4).stderr


@pytest.mark.parametrize("attribute", ["filter=x", "filter=y", "diff=x", "diff=y"])
@pytest.mark.parametrize("place", [".gitattributes", "../.gitattributes", "../.git/info/attributes", "../attributes"])
def test_attributes_that_send_files_through_programs(bench: Bench, attribute: str, place: str) -> None:
    (bench.entries / place).parent.mkdir(exist_ok=True)
    (bench.entries / place).write_text(f"*.toml {attribute} merge=x\n")
    (bench.entries / samples.PART_PATH).write_text(samples.PART + "\n# more\n")
    commit(bench.top, "a branch")
    (bench.entries / samples.PART_PATH).write_text(samples.PART + "\n# mere\n")
    config = bench.top / ".git" / "config"
    config.write_text(
        config.read_text() + configured(bench).replace("fsmonitor =", "# fsmonitor =").replace("external =", "# =")
    )
    bench.is_open(bench.entries, "diff")
    for result in (bench.review(), bench.review("--head", "HEAD")):
        assert result.exit_code == int(place == ".gitattributes")
        assert ("`git-files`: .gitattributes is a name of git's own." in result.stdout) == (result.exit_code == 1)


def test_hooks(bench: Bench) -> None:
    hooks = bench.top / ".git" / "hooks"
    hooks.mkdir(exist_ok=True)
    # githooks
    for name in (
        "post-checkout",
        "post-index-change",
        "reference-transaction",
        "fsmonitor-watchman",
        "pre-auto-gc",
        "post-rewrite",
        "read-object",
    ):
        shutil.copy(bench.program, hooks / name)
    bench.is_open(bench.top, "checkout", "base")
    (bench.entries / samples.PART_PATH).touch()
    assert bench.review().exit_code == 0
    assert bench.review("--head", "HEAD").exit_code == 0


def test_a_submodule_with_a_configuration_of_its_own(bench: Bench, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    (other / "2026-09-12-blue-heron-1.toml").write_text(samples.TEST)
    start(other)
    git(bench.top, "-c", "protocol.file.allow=always", "submodule", "--quiet", "add", str(other), "entries/tests/sub")
    commit(bench.top, "a branch")
    git(bench.entries / "tests" / "sub", "config", "core.fsmonitor", str(bench.program))
    bench.is_open(bench.entries, "status")
    place = f"{bench.entries}/tests/sub"
    for said in bench.reviews():
        assert (
            f"- **error** `{place}` line 1, `git-files`: This is a submodule, a link to another repository, "
            "whose files nobody checks. Remove it with &#96;git rm&#96;, and add the files themselves."
        ) in said
    assert f"`{place}/.git` line 1, `git-files`: A repository of its own begins here." in bench.review().stdout


@pytest.mark.parametrize("place", ["tests/sub", "tests/drum-cup/sub", "masks/sub", ".sub", "sub"])
def test_a_submodule_that_nobody_fetched(bench: Bench, place: str) -> None:
    """In a fresh clone it is an empty folder, and so it is in the pull request of a stranger."""
    hash_ = git(bench.top, "rev-parse", "HEAD")
    git(bench.top, "update-index", "--add", "--cacheinfo", f"160000,{hash_},entries/{place}")
    git(bench.top, "commit", "-q", "-m", "a branch")
    git(bench.top, "checkout", "-q", "base")
    git(bench.top, "checkout", "-q", "main")
    assert list((bench.entries / place).iterdir()) == []
    for said in bench.reviews():
        assert f"- **error** `{bench.entries}/{place}` line 1, `git-files`: This is a submodule" in said
        assert "Nothing changes" not in said
        assert "This folder is empty" not in said
    checked = CliRunner().invoke(main, ["check", "--entries", str(bench.entries)])
    assert checked.exit_code == int(place not in ("tests/sub", ".sub"))
    assert f"{bench.entries}/{place}:1 " in checked.output or place == ".sub"


VARIABLES: dict[str, Callable[[str], dict[str, str]]] = {
    "external diff": lambda program: {"GIT_EXTERNAL_DIFF": program},
    "counted": lambda program: {
        "GIT_CONFIG_COUNT": "1",
        "GIT_CONFIG_KEY_0": "core.fsmonitor",
        "GIT_CONFIG_VALUE_0": program,
    },
    "parameters": lambda program: {"GIT_CONFIG_PARAMETERS": f"'core.fsmonitor'='{program}'"},
    "elsewhere": lambda program: {"GIT_DIR": f"{program}-repository", "GIT_WORK_TREE": f"{program}-repository"},
    "programs of git": lambda program: {"GIT_EXEC_PATH": f"{program}-programs"},
}


@pytest.mark.parametrize("kind", VARIABLES)
def test_variables_that_name_programs(bench: Bench, monkeypatch: pytest.MonkeyPatch, kind: str) -> None:
    (bench.entries / samples.PART_PATH).write_text(samples.PART + "\n# more\n")
    other = Path(f"{bench.program}-repository")
    shutil.copytree(bench.top / ".git", other)
    git(bench.top, f"--git-dir={other}", "config", "core.fsmonitor", str(bench.program))
    Path(f"{bench.program}-programs").mkdir()
    shutil.copy(bench.program, Path(f"{bench.program}-programs", "git-remote-x"))
    for name, value in VARIABLES[kind](str(bench.program)).items():
        monkeypatch.setenv(name, value)
    bench.is_open(bench.top, *(["ls-remote", "x::"] if kind == "programs of git" else ["diff"]))
    assert bench.review().exit_code == 0
    assert bench.review("--head", "HEAD").exit_code == 0


def test_the_missing_files_of_a_partial_clone_are_not_fetched(bench: Bench, tmp_path: Path) -> None:
    git(bench.top, "config", "uploadpack.allowFilter", "true")
    (bench.entries / samples.PART_PATH).write_text(samples.PART + "\n# more\n")
    commit(bench.top, "a branch")
    clone = tmp_path / "clone"
    git(tmp_path, "clone", "-q", "--filter=blob:none", f"file://{bench.top}", str(clone))
    git(clone, "config", "remote.origin.uploadpack", str(bench.program))
    git(clone, "branch", "base", "origin/base")
    missing = git(clone, "rev-parse", f"base:entries/{samples.PART_PATH}")
    bench.entries = clone / "entries"
    bench.is_open(clone, "cat-file", "-p", missing)
    result = bench.review()
    assert result.exit_code == 2
    assert "Error: The repository was cloned in part and lacks some of the entries." in result.stderr
