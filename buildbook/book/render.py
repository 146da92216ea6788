"""One chapter's HTML to PDF pages with WeasyPrint; the only place that imports it."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import ModuleType

from buildbook.book.resources import font_files, template_folder

PX_TO_PT = 0.75
PANGO = (
    "Pango, the text layout library that pages are set with, is missing. Install it with:\n"
    "    sudo apt-get install -y libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
)


LEAST_WEASYPRINT = 68
"""The first with a fetcher that can be narrowed to what a page needs."""


class BookError(Exception):
    """The book cannot be made; the text says why and what to type."""


@dataclass(frozen=True)
class Job:
    """A chapter to render: `files` are the drawings that its HTML names as drawing:NAME."""

    name: str
    html: str
    files: Mapping[str, str]


@dataclass(frozen=True)
class Bookmark:
    level: int
    label: str
    page: int
    y_pt: float


@dataclass(frozen=True)
class Rendered:
    """A chapter's PDF and what the other chapters can point at.

    Pages count from 0; places are in points from the top of the page.
    """

    name: str
    pdf: bytes
    heights_pt: tuple[float, ...]
    anchors: dict[str, tuple[int, float, float]]
    """Anchor -> page, x, y."""
    bookmarks: tuple[Bookmark, ...]

    @property
    def pages(self) -> int:
        return len(self.heights_pt)


def weasyprint_module() -> ModuleType:
    """WeasyPrint, or a BookError with the line to type where Pango is missing or it is too old."""
    try:
        import weasyprint
        import weasyprint.urls
    except OSError as error:
        raise BookError(PANGO) from error
    if not hasattr(weasyprint.urls, "URLFetcher"):
        raise BookError(too_old(weasyprint.__version__))
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    module: ModuleType = weasyprint
    return module


def too_old(version: str) -> str:
    """What to do where the WeasyPrint that is installed cannot be kept from fetching files."""
    return (
        f"WeasyPrint {version}, which sets the pages, is too old: pages could read any file. "
        f"Version {LEAST_WEASYPRINT} is needed. Install it with:\n"
        f"    python -m pip install 'weasyprint>={LEAST_WEASYPRINT}'"
    )


@cache
def served_folders() -> tuple[Path, ...]:
    """The only folders that pages may read files from."""
    fonts = next(iter(font_files().values())).parent.resolve()
    return (fonts, template_folder().resolve())


def served(url: str, files: Mapping[str, str]) -> tuple[bytes, str]:
    """Bytes and media type of a font, a template's file or a drawing; ValueError for others."""
    if url.startswith("drawing:"):
        name = url.removeprefix("drawing:")
        if name in files:
            return files[name].encode(), "image/svg+xml"
    elif url.startswith("file:///"):
        from urllib.request import url2pathname

        path = Path(url2pathname(url.removeprefix("file://"))).resolve()
        if any(path.is_relative_to(folder) for folder in served_folders()) and path.is_file():
            return path.read_bytes(), "font/ttf" if path.suffix == ".ttf" else "text/plain"
    raise ValueError(f"{url} is not served to pages")


def closed_fetcher(files: Mapping[str, str]) -> object:
    """A WeasyPrint URL fetcher that serves `served` and nothing else."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class Closed(URLFetcher):  # type: ignore[misc]  # WeasyPrint has no types
        def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> object:
            body, media = served(url, files)
            return URLFetcherResponse(url, body, {"Content-Type": media})

    return Closed(allowed_protocols=("file", "drawing"))


def render(job: Job) -> Rendered:
    """Set one chapter; runs in a worker process."""
    weasyprint = weasyprint_module()
    html = weasyprint.HTML(
        string=job.html, base_url="drawing:", url_fetcher=closed_fetcher(job.files)
    )
    document = html.render()
    anchors: dict[str, tuple[int, float, float]] = {}
    bookmarks: list[Bookmark] = []
    for number, page in enumerate(document.pages):
        for name, place in page.anchors.items():
            anchors.setdefault(name, (number, place[0] * PX_TO_PT, place[1] * PX_TO_PT))
        for level, label, (_x, y), _state in page.bookmarks:
            bookmarks.append(Bookmark(level, label, number, y * PX_TO_PT))
    heights = tuple(page.height * PX_TO_PT for page in document.pages)
    pdf = document.write_pdf(pdf_identifier=job.name.encode())
    return Rendered(job.name, pdf, heights, anchors, tuple(bookmarks))
