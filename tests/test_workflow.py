"""What runs on a pull request can read the repository and nothing else, and runs no text of strangers.

The workflow of this repository, and the one that a database of one's own begins with.
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from mkdocs.utils.yaml import yaml_load

from tests.conftest import ROOT

OURS = ROOT / ".github" / "workflows" / "site.yml"
OWN = ROOT / "builder" / "home" / "templates" / "workflow.yml"
INSTALLING = {OURS: "install --quiet ./{path}\n", OWN: "install --quiet -r {path}/requirements.txt\n"}
"""How each installs the builder of the target branch, which is in a folder of its own."""


@pytest.fixture(scope="module", params=[OURS, OWN], ids=["ours", "own"])
def file(request: pytest.FixtureRequest) -> Path:
    path: Path = request.param
    return path


@pytest.fixture(scope="module")
def workflow(file: Path) -> dict[Any, Any]:
    loaded: dict[Any, Any] = yaml_load(file.read_text(encoding="utf-8"))
    return loaded


def on_pull_requests(workflow: dict[Any, Any]) -> dict[str, dict[str, Any]]:
    return {name: job for name, job in workflow["jobs"].items() if job.get("if") != "github.event_name == 'push'"}


def test_it_follows_the_schema_of_workflows(file: Path) -> None:
    """The JSON Schema of GitHub workflows on schemastore.org, in the copy that check-jsonschema brings."""
    command = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", "vendor.github-workflows", str(file)]
    checked = subprocess.run(command, capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_pull_requests_get_no_right_to_write(workflow: dict[Any, Any]) -> None:
    assert workflow["permissions"] == {}
    # The key `on` is the word yes in YAML 1.1.
    assert set(workflow[True]) == {"pull_request", "push"}
    jobs = on_pull_requests(workflow)
    assert {"check", "review"} <= set(jobs)
    for job in jobs.values():
        assert job["permissions"] == {"contents": "read"}


def test_what_may_write_runs_one_action_and_no_code_of_others(workflow: dict[Any, Any]) -> None:
    writing = {name: job for name, job in workflow["jobs"].items() if "write" in job["permissions"].values()}
    assert list(writing) == ["publish"]
    assert [set(step) for step in writing["publish"]["steps"]] == [{"id", "uses"}]


def test_every_action_is_pinned_by_its_hash_with_its_version_beside_it(file: Path, workflow: dict[Any, Any]) -> None:
    """GitHub Docs, "Secure use reference", on third-party actions: a hash is the only reference that cannot move."""
    used = [step["uses"] for job in workflow["jobs"].values() for step in job["steps"] if "uses" in step]
    lines = re.findall(r"uses: (.*)", file.read_text(encoding="utf-8"))
    assert len(used) == len(lines) >= 9
    assert set(lines) <= set(re.findall(r"uses: (.*)", OURS.read_text(encoding="utf-8")))
    for line in lines:
        assert re.fullmatch(r"[a-z-]+/[a-z-]+@[0-9a-f]{40} # v\d+\.\d+\.\d+", line), line


def test_no_deployment_is_cut_off_by_the_next_push(workflow: dict[Any, Any]) -> None:
    assert workflow["concurrency"]["cancel-in-progress"] == "${{ github.event_name == 'pull_request' }}"
    assert workflow["jobs"]["publish"]["concurrency"] == {"group": "pages", "cancel-in-progress": False}
    assert [name for name, job in workflow["jobs"].items() if "concurrency" in job] == ["publish"]


def test_pull_requests_see_no_secret_and_leave_no_credentials(file: Path, workflow: dict[Any, Any]) -> None:
    assert "secrets." not in file.read_text(encoding="utf-8")
    checkouts = [s for job in workflow["jobs"].values() for s in job["steps"] if "checkout" in s.get("uses", "")]
    assert len(checkouts) == 4
    assert all(step["with"]["persist-credentials"] is False for step in checkouts)


def test_no_expression_is_pasted_into_a_command(workflow: dict[Any, Any]) -> None:
    """GitHub Docs, "Security hardening for GitHub Actions", on script injections: values come by the environment."""
    for job in workflow["jobs"].values():
        for step in job["steps"]:
            assert "${{" not in step.get("run", ""), step
            if "pull_request" in str(job.get("if")):
                for value in step.get("env", {}).values():
                    assert re.fullmatch(r"\$\{\{ github\.event\.pull_request\.base\.sha \}\}", value), value


def test_the_review_runs_the_code_of_the_target_branch(file: Path, workflow: dict[Any, Any]) -> None:
    target, proposed, _, last = workflow["jobs"]["review"]["steps"]
    assert target["with"]["ref"] == "${{ github.event.pull_request.base.sha }}"
    assert "ref" not in proposed["with"]
    assert proposed["with"]["fetch-depth"] == 0
    assert INSTALLING[file].format(path=target["with"]["path"]) in last["run"]
    assert f"--entries {proposed['with']['path']}/entries >>" in last["run"]
    assert "proposed" not in last["run"].replace("--entries proposed/entries", "")
