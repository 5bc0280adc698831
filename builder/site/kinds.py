"""Every kind of page, in one tuple that the site and its tests both go through."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from builder.findings.dataset import Dataset
from builder.pictures.palette import style_rule
from builder.records.spoken import ENGLISH
from builder.site import (
    bench_page,
    browser_levels,
    browser_logs,
    browser_words,
    compare_page,
    contribute_form,
    data_page,
    entry_pictures,
    explorer_page,
    face_model_file,
    face_pages,
    feed,
    hack_pages,
    listed_tests,
    mask_pages,
    method_figures,
    moved_pages,
    news_page,
    pair_pages,
    people_file,
    poster_pages,
    previews,
    rules_page,
    share_pages,
    source_pages,
    start_page,
    tester_pages,
    wanted_page,
    words_page,
    yardstick_page,
)
from builder.site.addresses import contributor_address, pair_address, wearer_address
from builder.site.published import PublishedFile, PublishedPage, Renderer
from builder.site.twins import folder_of
from builder.words.catalogue import speaking


@dataclass(frozen=True)
class Publication:
    """What is published in one language: the data, how templates are filled, and the site's address.

    Addresses end in "/", or are "" for none: that of the site, and that of its pages in this language.
    """

    data: Dataset
    render: Renderer
    address: str = ""
    languages: tuple[str, ...] = (ENGLISH,)
    """All that the site is in, the first of them at its root."""

    @property
    def own_address(self) -> str:
        """Give the address of the pages in this language."""
        return self.address and self.address + self.render.folder


@dataclass(frozen=True)
class PageKind:
    """One kind of page: the pages made of it, and the files that these or other programs fetch.

    `files` hold no words of a language, or are for programs, and are published once; `spoken` once a language.

    `examples` gives addresses of pages that look the way all of the kind do; hand-written pages have only these.
    """

    name: str
    pages: Callable[[Publication], Iterable[PublishedPage]] = lambda _: ()
    files: Callable[[Publication], Iterable[PublishedFile]] = lambda _: ()
    spoken: Callable[[Publication], Iterable[PublishedFile]] = lambda _: ()
    examples: Callable[[Dataset], tuple[str, ...]] = lambda _: ()
    with_remarks: bool = False
    """Whether it tells what tests were remarked with: other kinds see `Dataset.figured`, and hold until that moves."""


def _later(
    published: Publication, chosen: Callable[[Dataset, Renderer], Iterable[PublishedFile]]
) -> Iterable[PublishedFile]:
    """Leave figures that only a choice shows to the build after the model's check: a saved entry does not wait."""
    return () if published.data.check_is_older else chosen(published.data, published.render)


def _widest_mask(data: Dataset) -> str:
    return str(data.table["mask"].value_counts().index[0])


def _widest_testers(data: Dataset) -> tuple[str, ...]:
    """Give a page of each role, of whoever has most tests."""
    if data.table.empty:
        return ()
    contributor, wearer = (str(data.table[role].value_counts().index[0]) for role in ("contributor", "wearer"))
    return contributor_address(contributor), wearer_address(wearer)


def _widest_pair(data: Dataset) -> tuple[str, ...]:
    """Give the page of a comparison of masks and of a change, of most wearers each."""
    pairs = [found for own in data.likely_pairs.values() for found in own]
    kinds = [found for found in pairs if "+" in found.b], [found for found in pairs if "+" not in found.b]
    widest = (max(own, key=lambda found: len(found.wearers), default=None) for own in kinds)
    return tuple(pair_address(found.a, found.b) for found in widest if found)


def _first_part(data: Dataset) -> str:
    return next(str(token) for token in data.table["parts"] if token and "+" not in token)


PAGE_KINDS: tuple[PageKind, ...] = (
    PageKind("start", lambda p: [start_page.start_page(p.data, p.render)], examples=lambda _: ("",)),
    PageKind(
        "explore",
        lambda p: [explorer_page.explorer_page(p.data, p.render)],
        lambda p: explorer_page.face_files(p.data),
        lambda p: explorer_page.explorer_files(p.data),
        lambda _: ("explore/",),
    ),
    PageKind(
        "mask",
        lambda p: mask_pages.mask_pages(p.data, p.render),
        spoken=lambda p: [
            *mask_pages.mask_files(p.data),
            *_later(p, mask_pages.narrowed_mask_files),
        ],
        examples=lambda data: (f"masks/{_widest_mask(data)}/",),
    ),
    PageKind("lists of tests", spoken=lambda p: listed_tests.listed_tests(p.data, p.render), with_remarks=True),
    PageKind(
        "source",
        lambda p: source_pages.source_pages(p.data, p.render),
        examples=lambda data: (f"masks/{_widest_mask(data)}/source/",),
        with_remarks=True,
    ),
    PageKind(
        "share",
        lambda p: share_pages.share_pages(p.data, p.render, p.own_address),
        spoken=lambda p: share_pages.share_files(p.data, p.own_address),
        examples=lambda data: (f"masks/{_widest_mask(data)}/share/",),
    ),
    PageKind(
        "hack",
        lambda p: hack_pages.hack_pages(p.data, p.render),
        spoken=lambda p: [*hack_pages.hack_files(p.data), *_later(p, hack_pages.narrowed_hack_files)],
        examples=lambda data: ("hacks/", f"hacks/{_first_part(data)}/"),
    ),
    PageKind("old address", lambda p: moved_pages.moved_pages(p.data, p.render)),
    PageKind(
        "face",
        lambda p: face_pages.face_pages(p.data, p.render),
        lambda p: [*face_pages.face_files(p.data), *face_model_file.face_model_file(p.data)],
        lambda p: [*_later(p, face_pages.narrowed_face_files), *people_file.people_file(p.data)],
        lambda _: ("faces/", "faces/cell-4/", "faces/cell-10/", "faces/outside/"),
    ),
    # Before much that is quick: what takes long is not to be begun last.
    PageKind("link previews", spoken=lambda p: previews.preview_files(p.data)),
    PageKind(
        "poster",
        lambda p: poster_pages.poster_pages(p.data, p.render, p.own_address),
        examples=lambda data: ("poster/", *(("poster/cell-4/",) if data.model else ())),
    ),
    PageKind(
        "compare",
        lambda p: [compare_page.compare_page(p.data, p.render)],
        lambda p: compare_page.measured_files(p.data),
        lambda p: [compare_page.comparables_file(p.data)],
        lambda _: ("compare/",),
    ),
    PageKind(
        "comparison",
        lambda p: pair_pages.pair_pages(p.data, p.render),
        spoken=lambda p: pair_pages.pair_files(p.data),
        examples=_widest_pair,
    ),
    PageKind(
        "yardstick",
        lambda p: [yardstick_page.yardstick_page(p.data, p.render)],
        lambda p: _later(p, lambda data, _: yardstick_page.yardstick_files(data)),
        examples=lambda _: ("yardstick/",),
    ),
    PageKind(
        "bench",
        lambda p: [bench_page.bench_page(p.render)],
        spoken=lambda p: bench_page.bench_files(p.data),
        examples=lambda _: ("bench/",),
    ),
    PageKind(
        "testers",
        lambda p: tester_pages.tester_pages(p.data, p.render),
        examples=lambda data: ("testers/", *_widest_testers(data)),
    ),
    PageKind("wanted", lambda p: [wanted_page.wanted_page(p.data, p.render)], examples=lambda _: ("wanted/",)),
    PageKind(
        "data",
        lambda p: [data_page.data_page(p.data, p.render, p.address)],
        lambda p: data_page.files_of_figures(p.data, p.address),
        lambda p: feed.feed_files(p.data, p.own_address),
        lambda _: ("data/",),
    ),
    PageKind("data of tests", files=lambda p: data_page.files_of_tests(p.data, p.address), with_remarks=True),
    PageKind("words", lambda p: [words_page.words_page(p.render)], examples=lambda _: ("words/",)),
    PageKind("news", lambda p: [news_page.news_page(p.data, p.render)], examples=lambda _: ("news/",)),
    PageKind("rules", lambda p: [rules_page.rules_page(p.render)], examples=lambda _: ("rules/",)),
    PageKind(
        "methods", spoken=lambda p: method_figures.method_files(p.data), examples=lambda _: ("methods/", "cautions/")
    ),
    PageKind(
        "contribute", spoken=lambda p: contribute_form.contribute_files(p.data), examples=lambda _: ("contribute/",)
    ),
    PageKind(
        "words and levels",
        files=lambda p: [
            *browser_words.browser_words(p.languages),
            browser_levels.browser_levels(),
            browser_logs.browser_logs(),
        ],
    ),
    PageKind("pictures", files=lambda p: entry_pictures.picture_files(p.data)),
    PageKind("colours", files=lambda _: [PublishedFile("assets/styles/palette.css", style_rule())]),
    PageKind("not found", examples=lambda _: ("404.html",)),
)


@dataclass(frozen=True)
class Task:
    """The making of a kind's pages, or files, in a language: it looks at no other."""

    what: Literal["pages", "files", "spoken"]
    kind: PageKind
    publication: Publication
    code: str

    @property
    def key(self) -> str:
        """Name it with all that it is made of beside the builder: nothing else of the entries can be reached."""
        given, render = self.publication, self.publication.render
        of = self.what, self.kind.name, self.code, given.data.digest, given.data.name, render.repository, render.folder
        return "\n".join([*of, given.address, *given.languages])

    def __call__(self) -> Sequence[PublishedPage | PublishedFile]:
        """Make them."""
        return self.pages() if self.what == "pages" else self.files()

    def pages(self) -> list[PublishedPage]:
        """Make the pages."""
        folder = self.publication.render.folder
        with speaking(self.code):
            return [
                replace(page, address=folder + page.address, picture=folder + page.picture, language=self.code)
                for page in self.kind.pages(self.publication)
            ]

    def files(self) -> list[PublishedFile]:
        """Make the files."""
        with speaking(self.code):
            if self.what == "files":
                return list(self.kind.files(self.publication))
            folder = self.publication.render.folder
            return [replace(file, path=folder + file.path) for file in self.kind.spoken(self.publication)]


def published_pages(
    data: Dataset, repository: str = "", address: str = "", languages: tuple[str, ...] = (ENGLISH,)
) -> Iterator[PublishedPage]:
    """Give every generated page, in every language.

    `repository` is the address of the repository, `address` that of the site, ending in "/"; "" where there is none.
    """
    for task in page_tasks(data, repository, address, languages):
        yield from task.pages()


def page_tasks(data: Dataset, repository: str, address: str, languages: tuple[str, ...]) -> list[Task]:
    """Give the making of `published_pages` as tasks."""
    each = _in_each(data, repository, address, languages)
    return [Task("pages", kind, publication, code) for code, kind, publication in each]


def published_files(
    data: Dataset, address: str = "", languages: tuple[str, ...] = (ENGLISH,)
) -> Iterator[PublishedFile]:
    """Give every generated file that is no page. `address` is that of the site, "" where it has none yet: no feed."""
    for task in file_tasks(data, address, languages):
        yield from task.files()


def file_tasks(data: Dataset, address: str, languages: tuple[str, ...]) -> list[Task]:
    """Give the making of `published_files` as tasks."""
    each = list(_in_each(data, "", address, languages))
    shared = [Task("files", kind, publication, code) for code, kind, publication in each if code == languages[0]]
    return [*shared, *(Task("spoken", kind, publication, code) for code, kind, publication in each)]


def _in_each(
    data: Dataset, repository: str, address: str, languages: tuple[str, ...]
) -> Iterator[tuple[str, PageKind, Publication]]:
    for code in languages:
        whole, figured = (
            Publication(seen, Renderer(seen, repository, folder=folder_of(code, languages)), address, languages)
            for seen in (data, data.figured)
        )
        yield from ((code, kind, whole if kind.with_remarks else figured) for kind in PAGE_KINDS)


def example_pages(data: Dataset) -> Iterator[str]:
    """Give the address of at least one page of each kind."""
    for kind in PAGE_KINDS:
        yield from kind.examples(data)
