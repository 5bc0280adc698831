"""What a new folder's files say, and which names, addresses and builders they can say."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from mkdocs.utils.yaml import yaml_load

from builder.home.beginning import NewHome, bad_address, bad_name, installed_from, pages_address, pinned
from builder.home.settings import _read
from tests.conftest import ROOT

COMMIT = "0123456789abcdef0123456789abcdef01234567"
GIT = f"git+https://example.org/bench/sealbook.git@{COMMIT}"


def test_settings_read_as_they_were_given() -> None:
    name = "Ånn's bench: yes, no & 0x1F!"
    texts = NewHome(name, "https://a.example/b/", "https://example.org/b", f"sealbook @ {GIT}").texts()
    read = yaml_load(str(texts["mkdocs.yml"]))
    assert (read["site_name"], read["site_url"], read["repo_url"]) == (
        name,
        "https://a.example/b/",
        "https://example.org/b",
    )
    assert read["plugins"] == [{"sealbook": {"languages": ["en", "de"], "palette": {}}}]
    assert str(texts["requirements.txt"]).splitlines()[1:] == [f"sealbook @ {GIT}"]
    assert str(texts["README.md"]).startswith(f"# {name}\n")
    assert texts["LICENSE"] == (ROOT / "LICENSE-ENTRIES").read_text("utf-8")
    assert not any("{{" in str(text) for path, text in texts.items() if not path.startswith(".github/"))


def test_the_repository_itself_is_set_up_as_a_new_folder_is() -> None:
    ours = set(_read(ROOT / "mkdocs.yml"))
    own = set(yaml_load(str(NewHome("x", "https://x.example/", "https://x.example/y", "z").texts()["mkdocs.yml"])))
    assert ours == own
    assert not ours & set(_read(ROOT / "site_src" / "settings.yml"))


@pytest.mark.parametrize("name", ["B", "Our mask bench", "Café Ñandú (Leeds), 2nd floor", "咳", "x" * 80])
def test_names_that_will_do(name: str) -> None:
    assert bad_name(name) == ""


@pytest.mark.parametrize(
    "name", ["", " x", "x ", "<b>x", "a\nb", "a [link](x)", "{{ name }}", "x" * 81, "a`b", '"x"', "$HOME", "-x", "#x"]
)
def test_names_that_a_page_would_read_as_something_else(name: str) -> None:
    assert bad_name(name) == "Write up to 80 letters, digits, spaces and .,:;!?&()'-, beginning with a letter or digit."


@pytest.mark.parametrize("address", ["https://example.org", "https://example.org/a-b/c.d/", "http://127.0.0.1:8000/"])
def test_addresses_that_will_do(address: str) -> None:
    assert bad_address(address) == ""


@pytest.mark.parametrize(
    "address", ["", "example.org", "javascript:alert(1)", "https://a b", "https://x/?q", "https://x/#y", 'https://x/"']
)
def test_addresses_that_lead_nowhere(address: str) -> None:
    assert bad_address(address) == "Write an address that begins with https://, without spaces, ? or #."


@pytest.mark.parametrize(
    ("repository", "address"),
    [
        ("https://github.com/Our-Club/our-bench", "https://our-club.github.io/our-bench/"),
        ("https://github.com/our-club/our-club.github.io", "https://our-club.github.io/"),
        ("https://github.com/our-club", ""),
        ("https://example.org/our-club/our-bench", ""),
    ],
)
def test_where_a_repository_is_published(repository: str, address: str) -> None:
    """GitHub Docs, "What is GitHub Pages", on user, organization and project sites."""
    assert pages_address(repository) == address


@pytest.mark.parametrize(
    ("given", "line"),
    [
        (GIT, f"sealbook @ {GIT}"),
        (f"sealbook @ {GIT}", f"sealbook @ {GIT}"),
        (f"https://example.org/sealbook-1.0-py3-none-any.whl#sha256={'a' * 64}", True),
        ("file:///tmp/sealbook-1.0-py3-none-any.whl", True),
        ("https://example.org/sealbook-1.0-py3-none-any.whl", None),
        ("git+https://example.org/bench/sealbook.git", None),
        ("git+https://example.org/bench/sealbook.git@main", None),
        (f"git+https://example.org/bench/sealbook.git@{COMMIT[:7]}", None),
        ("sealbook==0.1.0", None),
        ("sealbook", None),
        (f"{GIT}\n--index-url https://evil.example", None),
    ],
)
def test_a_builder_is_named_by_what_cannot_change(given: str, line: str | bool | None) -> None:
    assert pinned(given) == (f"sealbook @ {given}" if line is True else line)


def test_the_builder_is_taken_from_where_this_one_came() -> None:
    """The keys of packaging.python.org, "Direct URL Data Structure"."""
    git = {"url": "https://example.org/s.git", "vcs_info": {"vcs": "git", "commit_id": COMMIT}}
    wheel = {"url": "https://example.org/s.whl", "archive_info": {"hashes": {"sha256": "b" * 64}}}
    assert installed_from(json.dumps(git)) == f"sealbook @ git+https://example.org/s.git@{COMMIT}"
    assert installed_from(json.dumps(wheel)) == f"sealbook @ https://example.org/s.whl#sha256={'b' * 64}"
    local = {**wheel, "url": Path("/tmp/s.whl").as_uri()}
    checkout = {"url": "file:///home/x/sealbook", "dir_info": {"editable": True}}
    assert [installed_from(json.dumps(note)) for note in (local, checkout)] == [None, None]
    assert installed_from(None) is None
