"""The files that a database of one's own begins with."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from urllib.parse import urlsplit

from jinja2 import Environment, StrictUndefined

from builder.home.editor_schemas import schema_files

_TEMPLATES: Mapping[str, str] = {
    ".github/pull_request_template.md": "pull_request_template.md",
    ".gitignore": "gitignore",
    "README.md": "README.md",
    "entries/README.md": "entries.md",
    "mkdocs.yml": "mkdocs.yml",
    "pages/about.md": "about.md",
    "requirements.txt": "requirements.txt",
}
_WORKFLOW = ".github/workflows/site.yml"
_LICENCE = "LICENSE"
# No character that Markdown, YAML or HTML reads as anything but itself.
_NAME = re.compile(r"[^\W_](?:[^\x00-\x1f\x7f<>\[\]{}*_`#\\|\"$]{0,78}[^\s<>\[\]{}*_`#\\|\"$])?")
_ADDRESS = re.compile(r"https?://[A-Za-z0-9.-]+(?::\d+)?(?:/[A-Za-z0-9._~/-]*)?")
_GIT = re.compile(r"git\+(?:https|ssh|file)://[^\s#@]+(?:@[^\s#@/]+/[^\s#@]+)?@[0-9a-f]{40}")
_WHEEL = re.compile(r"(?:https://\S+\.whl#sha256=[0-9a-f]{64}|file://\S+\.whl)")
_BEFORE_ADDRESS = re.compile(r"sealbook\s*@\s*")


@dataclass(frozen=True)
class NewHome:
    """What a database's folder is made of. `builder` is the line that installs the builder."""

    name: str
    address: str
    repository: str
    builder: str

    def texts(self) -> dict[str, str | bytes]:
        """Give every file by its path below the folder."""
        environment = Environment(undefined=StrictUndefined, keep_trailing_newline=True, autoescape=False)
        filled = {**vars(self)}
        made: dict[str, str | bytes] = {}
        for path, template in _TEMPLATES.items():
            # What JSON writes as a string YAML reads as the same string.
            values = {key: json.dumps(value, ensure_ascii=False) for key, value in filled.items()}
            given = values if path.endswith(".yml") else filled
            made[path] = environment.from_string(_template(template)).render(given)
        made[_WORKFLOW] = _template("workflow.yml")
        made[_LICENCE] = files("builder.words.opendata").joinpath("CC0-1.0.txt").read_text("utf-8")
        return dict(sorted((made | schema_files()).items()))


def bad_name(name: str) -> str:
    """Say what is wrong with a database's name; "" where it will do."""
    if _NAME.fullmatch(name):
        return ""
    return "Write up to 80 letters, digits, spaces and .,:;!?&()'-, beginning with a letter or digit."


def bad_address(address: str) -> str:
    """Say what is wrong with the address of a site or of a repository; "" where it will do."""
    if _ADDRESS.fullmatch(address):
        return ""
    return "Write an address that begins with https://, without spaces, ? or #."


def pages_address(repository: str) -> str:
    """Give the address at which GitHub Pages publishes a repository; "" for a repository that lies elsewhere."""
    parts = urlsplit(repository)
    match parts.path.strip("/").split("/"):
        case [owner, name] if parts.hostname == "github.com":
            home = f"{owner.lower()}.github.io"
            return f"https://{home}/" if name.lower() == home else f"https://{home}/{name}/"
    return ""


def pinned(builder: str) -> str | None:
    """Give the line that installs one state of the builder for ever; None for a text that could lead to another."""
    address = _BEFORE_ADDRESS.sub("", builder.strip(), count=1)
    return f"sealbook @ {address}" if _GIT.fullmatch(address) or _WHEEL.fullmatch(address) else None


def installed_from(direct_url: str | None) -> str | None:
    """Give the line that installs what is installed here, by pip's own note; None where that names no such address.

    Source: "Recording the Direct URL Origin of installed distributions" (PEP 610), packaging.python.org.
    """
    noted = json.loads(direct_url or "{}")
    address, archive = str(noted.get("url", "")), noted.get("archive_info", {})
    if commit := noted.get("vcs_info", {}).get("commit_id"):
        return pinned(f"git+{address}@{commit}")
    if sha256 := archive.get("hashes", {}).get("sha256"):
        return pinned(f"{address}#sha256={sha256}") if address.startswith("https:") else None
    return None


def _template(name: str) -> str:
    return files("builder.home").joinpath("templates", name).read_text("utf-8")
