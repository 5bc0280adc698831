"""The MkDocs plugin: hands over what the builder publishes, and stops a build whose entries are wrong."""

from __future__ import annotations

import gc
import logging
import re
import shutil
from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from functools import cached_property, partial
from pathlib import Path
from typing import Any, Literal, cast

from jinja2 import Environment
from mkdocs.config import config_options as c
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, TableOfContents
from mkdocs.utils import CountHandler
from mkdocs.utils.templates import TemplateContext

from builder.findings.dataset import Dataset, EntriesInvalidError, build_dataset
from builder.findings.rechecking import Recheck
from builder.home.editor_schemas import keep_current
from builder.home.settings import add_shipped_files, complete, own_places, put
from builder.home.theme_files import leave_out_unloaded
from builder.pictures.cards import preview_height
from builder.pictures.own_palette import recolour
from builder.records.known_reads import KnownReads
from builder.records.memory import Memory
from builder.records.pieces import Pieces
from builder.records.problems import as_text
from builder.records.side_by_side import side_by_side
from builder.records.spoken import ENGLISH
from builder.site.frame import MenuEntry, Twin, frame_facts, menu_title, twins_of, untranslated
from builder.site.kept_site import KeptSite, keep_site, last_site, pieces_of, recalled_site, site_key
from builder.site.offline import write_worker
from builder.site.published import PublishedFile, PublishedPage, Renderer
from builder.site.rules_page import ADDRESS as RULES
from builder.site.search_index import FinishedPage, search_file
from builder.site.staging import publish, staging_folder
from builder.site.standing_files import StandingFiles
from builder.site.twins import Tongue, Tongues, moved_below
from builder.words.catalogue import languages, speaking
from builder.words.unbroken import unbroken_html

# Not below MkDocs' own logger, where a strict build counts an error even if the pages can still be shown.
log = logging.getLogger("sealbook")
EPOCH = "1970-01-01"
_TO_SECTION = 'title="Link to this section"'
"""What site_src/settings.yml has the Markdown extension write."""
_IDS = re.compile(r'\sid="([^"]+)"')


class SealbookConfig(Config):  # type: ignore[no-untyped-call]
    """Options below `plugins: - sealbook:` in mkdocs.yml."""

    entries = c.Type(str, default="entries")
    """Folder of the entries, beside mkdocs.yml."""

    languages = c.ListOfItems(c.Choice(languages()), default=["en", "de"])
    """Languages that the site is in, the first of them at its root, each other one below a folder of its code."""

    palette = c.Type(dict, default={})
    """Colours of the database's own, a light and a dark one by what they are for: see `builder/pictures/palette.py`."""


class ReadyPage(Page):
    """A page whose HTML is ready: no Markdown is read or rendered."""

    def __init__(self, published: PublishedPage, file: File, config: MkDocsConfig) -> None:
        super().__init__(published.title, file, config)
        self.published = published

    def read_source(self, config: MkDocsConfig) -> None:
        """Take the page's description and picture from its record."""
        self.markdown = ""
        published = self.published
        size = {"picture_width": published.picture_width, "picture_height": preview_height(published.picture_width)}
        self.meta = {"description": published.description, "picture": published.picture, **size}
        self.meta["told_once"] = published.told_once

    def render(self, config: MkDocsConfig, files: Files) -> None:
        """Take the page's HTML from its record, and note the heading to skip the menu to."""
        self.content = self.published.html
        self.toc = TableOfContents([AnchorLink(self.published.title, "title", 0)])

    # Few hand-written pages link to a place within a generated one, whose anchors may be thousands.
    @cached_property
    def present_anchor_ids(self) -> set[str]:  # type: ignore[override]
        """Give the page's anchors, for the check of links."""
        return set(_IDS.findall(self.published.html))


class UntranslatedPage(Page):
    """A twin of a page that nobody has translated: it takes the other's HTML, once that is there."""

    def __init__(self, of: File, file: File, config: MkDocsConfig) -> None:
        super().__init__(None, file, config)
        self.of = of

    def read_source(self, config: MkDocsConfig) -> None:
        """Read nothing."""
        self.markdown, self.meta = "", {}

    def render(self, config: MkDocsConfig, files: Files) -> None:
        """Leave the page empty, for now."""
        self.content, self.toc = "", TableOfContents([])

    def take(self, tongue: Tongue, first: Tongue, twins: Collection[str]) -> None:
        """Take what the page in the first language shows, its links put right."""
        page = self.of.page
        assert page is not None
        html = moved_below(page.content or "", page.url, twins, tongue.folder)
        self.title, self.meta = page.title, page.meta
        self.content = untranslated(html, tongue, first)


class StandingFile(File):
    """A file of a served site, written only where it is not there already."""

    standing: StandingFiles | None = None

    def copy_file(self, dirty: bool = False) -> None:
        """Write the file, or leave it."""
        if self.standing is None:
            super().copy_file(dirty)
        else:
            self.standing.write(self.abs_dest_path, self.content_bytes, partial(super().copy_file, dirty))


class SealbookPlugin(BasePlugin[SealbookConfig]):  # type: ignore[no-untyped-call]
    """Reads the entries once a build and publishes their pages and files."""

    def __init__(self) -> None:
        self._data: Dataset | None = None
        self._tongues = Tongues(())
        self._serving = False
        self._problems = ""
        self._staged: tuple[Path, Path] | None = None
        self._recheck: Recheck | None = None
        self._memory = Memory.of_user()
        self._site: KeptSite | None = None
        self._pages: dict[str, Page] = {}
        self._menus: dict[str, list[tuple[str, MenuEntry]]] = {}
        self._key = ""
        self._known: KnownReads | None = None
        self._standing: StandingFiles | None = None

    # Having this event keeps the plugin, and so the last good data, from one rebuild of `serve` to the next.
    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Begin anew, and note whether the site is served while it is edited: MkDocs hands out one plugin for good."""
        self._serving = command == "serve"
        self._data, self._site, self._key = None, None, ""
        self._memory = Memory.of_user()
        self._recheck = Recheck() if self._serving else None
        self._known = KnownReads() if self._serving else None
        self._standing = StandingFiles() if self._serving else None

    # Runs before the site folder is cleaned: an error here leaves the published site as it was.
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read and check the entries; stop with every problem, or keep the last good data while serving."""
        root = self._root(config)
        complete(config)
        self._tongues = Tongues(tuple(dict.fromkeys(self.config.languages)) or (ENGLISH,))
        if faults := recolour(self.config.palette):
            raise PluginError("\n".join(("the palette in mkdocs.yml has problems:", *faults)))
        keep_current(root)
        config.watch.append(str(root))
        if self._recheck:
            config.watch.append(str(self._recheck.signal))
        self._problems = ""
        # What is made of the entries stays until the end: to look through it for garbage again and again takes long.
        gc.disable()
        try:
            data = build_dataset(root, self._memory, hasty=self._serving, known=self._known)
            data = replace(data, name=config.site_name, pieces=self._pieces_of(root))
            # A copy of a process that serves beside it would have but a part of that.
            self._take(data if self._serving else replace(data, run=side_by_side), config)
        except EntriesInvalidError as error:
            self._problems = as_text(error.problems)
            message = f"the entries have problems:\n{self._problems}"
            if not (self._serving and self._data):
                raise PluginError(message) from None
            log.error(message)
        if not self._serving:
            self._stage(config)
        return config

    def _root(self, config: MkDocsConfig) -> Path:
        return Path(config.config_file_path).parent / self.config.entries

    def _pieces_of(self, root: Path) -> Pieces:
        """Give the pieces known: while serving those of the build before, unless the colours are others now."""
        pieces = pieces_of(self._memory, root)
        if self._data and self._data.pieces.key == pieces.key:
            return self._data.pieces
        return pieces

    def _take(self, data: Dataset, config: MkDocsConfig) -> None:
        """Go on with what was read; with what was made of it before, where the entries are the same."""
        key = site_key(data, config.repo_url or "", config.site_url or "", self._tongues.codes)
        if self._site and self._data and key == self._key and not self._data.check_is_older:
            return
        self._data, self._key = data, key
        # A served site is to have at hand what the next save does not change: so it is made, not recalled.
        self._site = None if self._serving else recalled_site(self._memory, key)

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Keep what is served from being removed before the build: most of it will be the same."""
        if self._standing:
            self._standing.set_aside(Path(config.site_dir))

    def _stage(self, config: MkDocsConfig) -> None:
        """Have the site built aside: whatever ends the build early, the published folder stays whole."""
        # A link stays: the folder that it leads to is exchanged.
        target = Path(config.site_dir).resolve()
        if target.exists() and not target.is_dir():
            raise PluginError(f"{target} is no folder: name another site_dir, or move it away")
        try:
            folder = staging_folder(target)
        except OSError as error:
            raise PluginError(f"nothing can be written beside {target}: {error.strerror}") from None
        self._staged = (folder, target)
        config.site_dir = str(folder)

    # After the other plugins, which may still write or warn.
    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Put the finished site in its place, unless the build is strict and MkDocs is about to fail it."""
        gc.enable()
        if self._staged and not _warned():
            folder, target = self._staged
            self._staged = None
            for tongue in self._tongues.each:
                write_worker(folder, tongue.folder)
            config.site_dir = str(target)
            try:
                publish(folder, target)
            except OSError as error:
                raise PluginError(f"the site could not be put at {target}: {error.strerror}; it is {folder}") from None
            if self._site:
                keep_site(self._memory, self._key, self._site, self._root(config))
                self._loaded().pieces.keep()
        elif self._recheck and self._loaded().check_is_older:
            self._recheck.start(self._loaded())

    def on_build_error(self, *, error: Exception) -> None:
        """Remove what was built aside; put back what was set aside."""
        gc.enable()
        if self._standing:
            self._standing.put_back()
        if self._staged:
            shutil.rmtree(self._staged[0], ignore_errors=True)
            self._staged = None

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add the generated pages, outside the navigation unless mkdocs.yml names them, and the data files."""
        if self._standing:
            self._standing.put_back()
        if self._site is None:
            addresses = config.repo_url or "", config.site_url or ""
            before = None if self._serving else last_site(self._memory, self._root(config))
            self._site = KeptSite.of(self._loaded(), *addresses, self._tongues.codes, before)
        own = own_places(files, config)
        leave_out_unloaded(files, config)
        add_shipped_files(files, config)
        for page in self._site.pages:
            source = source_of(page.address, self._tongues)
            file = File.generated(config, source, content="", inclusion=InclusionLevel.NOT_IN_NAV)
            if file.dest_uri not in own:
                file.page = ReadyPage(page, file, config)
                put(files, file)
        for published in self._site.files:
            if published.path not in own:
                self._publish(published, files, config)
        self._add_twins(files, config)
        return files

    def _add_twins(self, files: Files, config: MkDocsConfig) -> None:
        """Give each page in the first language its twins; leave out pages in languages that the site is not in."""
        pages = {file.src_uri: file for file in files.documentation_pages()}
        unspoken = tuple(f"{code}/" for code in languages() if code not in self._tongues.codes)
        for file in pages.values():
            if file.src_uri.startswith(unspoken):
                files.remove(file)
                continue
            tongue, source = self._tongues.split(file.src_uri)
            if tongue.folder:
                file.inclusion = InclusionLevel.NOT_IN_NAV
                continue
            for other in self._tongues.each[1:]:
                twin = pages.get(other.folder + source)
                # A page of the folder's own is not what a shipped twin says.
                if twin is None or (file.src_dir == config.docs_dir and twin.src_dir != config.docs_dir):
                    made = File.generated(
                        config, other.folder + source, content="", inclusion=InclusionLevel.NOT_IN_NAV
                    )
                    made.page = UntranslatedPage(file, made, config)
                    put(files, made)

    def _publish(self, published: PublishedFile, files: Files, config: MkDocsConfig) -> None:
        """Add a generated file."""
        made = StandingFile.generated(config, published.path, content=published.content)
        assert isinstance(made, StandingFile)
        made.standing = self._standing
        put(files, made)

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Date every page by the newest test instead of the day of the build: same entries, same bytes."""
        self._menus.clear()
        pages: dict[str, list[FinishedPage]] = {code: [] for code in self._tongues.codes}
        first = self._tongues.each[0]
        twins = {file.url for file in files.documentation_pages()}
        for file in files.documentation_pages():
            page = file.page
            assert page is not None
            tongue, address = self._tongues.split(page.url)
            if isinstance(page, UntranslatedPage):
                page.take(tongue, first, twins)
            page.update_date = self._loaded().newest or EPOCH
            pages[tongue.code].append(_finished(page, address))
            self._pages[file.src_uri] = page
        for tongue in self._tongues.each:
            with speaking(tongue.code):
                found = search_file(self._loaded(), pages[tongue.code])
            self._publish(replace(found, path=tongue.folder + found.path), files, config)
        if self._standing:
            self._standing.keep_only(file.abs_dest_path for file in files)
        return env

    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Fill the pieces that a hand-written page takes from the data or the code."""
        if not markdown:
            return markdown
        assert self._site is not None  # files come before their content
        tongue, address = self._tongues.split(page.url)
        render = Renderer(self._loaded().figured, config.repo_url or "", folder=tongue.folder)
        with speaking(tongue.code):
            return self._site.fill(markdown, render, address.count("/"))

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Let the keyboard reach the tables of a hand-written page, and no line end between a number and its unit."""
        if isinstance(page, ReadyPage):
            return html
        tongue, _ = self._tongues.split(page.url)
        to_section = f'title="{tongue.say("frame.to_section")}"'
        return unbroken_html(html).replace("<table>", '<table tabindex="0">').replace(_TO_SECTION, to_section)

    def on_page_context(
        self, context: TemplateContext, *, page: Page, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        """Give the theme the facts that every page shows."""
        tongue, address = self._tongues.split(page.url)
        section = page.published.section if isinstance(page, ReadyPage) else ""
        twins = twins_of(self._tongues, tongue, address)
        return self._with_facts(context, tongue, twins, self._menu(nav, page, tongue, section))

    def on_template_context(
        self, context: TemplateContext, *, template_name: str, config: MkDocsConfig
    ) -> TemplateContext:
        """Give the theme's own pages (404) the same facts."""
        first = self._tongues.each[0]
        return self._with_facts(context, first, (), self._menu(context["nav"], None, first, ""))

    def _menu(self, nav: Navigation, shown: Page | None, tongue: Tongue, section: str) -> list[MenuEntry]:
        """Give the menu in a language, as a page shows it."""
        if tongue.code not in self._menus:
            self._menus[tongue.code] = list(self._entries(nav, tongue))
        here = self._tongues.split(shown.file.src_uri)[1] if shown else ""
        shows = {section: "true", here: "page"}
        return [replace(entry, current=shows.get(source, "")) for source, entry in self._menus[tongue.code]]

    def _entries(self, nav: Navigation, tongue: Tongue) -> Iterator[tuple[str, MenuEntry]]:
        """Give the menu in a language by the sources of its pages: its own pages, by their own titles."""
        for item in nav.items:
            if not isinstance(item, Page) or item.is_homepage:
                continue
            source = item.file.src_uri
            # What mkdocs.yml calls a page otherwise, it is called in every language.
            renamed = str(item.title) != menu_title(source, self._tongues.each[0])
            title = item.title if renamed else menu_title(source, tongue)
            yield source, MenuEntry(self._pages.get(tongue.folder + source, item).url, str(title))

    def _loaded(self) -> Dataset:
        if self._data is None:
            raise PluginError("the entries were not read")
        return self._data

    def _with_facts(
        self, context: TemplateContext, tongue: Tongue, twins: Iterable[Twin], menu: Iterable[MenuEntry]
    ) -> TemplateContext:
        facts = frame_facts(self._loaded(), tongue, self._tongues, twins, menu)
        # MkDocs types the context by its own keys; a theme may read others.
        cast(dict[str, Any], context)["sealbook"] = facts | {"problems": self._problems, "serving": self._serving}
        return context


def source_of(address: str, tongues: Tongues) -> str:
    """Give the source that MkDocs would make a page at an address of."""
    folder, rest = tongues.split(address)
    return folder.folder + (rest.rstrip("/") or "index") + ".md"


def _finished(page: Page, address: str) -> FinishedPage:
    """Give a page as it is searched: what is below those right below the root is of one thing each."""
    explains = address == RULES or not isinstance(page, ReadyPage)
    return FinishedPage(address, str(page.title), page.content or "", address.count("/") == 1, explains)


def _warned() -> bool:
    """Say whether a strict build has warned; only such a build has this handler."""
    handlers = logging.getLogger("mkdocs").handlers
    return any(isinstance(handler, CountHandler) and handler.get_counts() for handler in handlers)
