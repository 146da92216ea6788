"""One chapter's HTML to pages with WeasyPrint; the only place that imports it."""

from __future__ import annotations

import base64
import logging
import os
import re
import warnings
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from hashlib import md5
from pathlib import Path
from types import ModuleType
from typing import Any

from buildbook.book.book_error import BookError
from buildbook.book.drawing_form import Form, form_of
from buildbook.book.end_of_text import END, laid_out
from buildbook.book.page_references import PageReference, codes_in
from buildbook.book.pdf_objects import Keeper, KeptObject, Picture, packed
from buildbook.book.resources import NO_FONTS, WEIGHTS, font_files, template_folder
from buildbook.book.stamps import StampCodes, holds_stamps
from buildbook.book.typeface import face

PX_TO_PT = 0.75
DOT = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR42mP4DwABAQEAHLCMmQAAAABJRU5ErkJggg=="
)
"""A picture of one dot: holds a drawing's place while WeasyPrint lays the page out."""
PANGO = (
    "Pango, the text layout library that pages are set with, is missing. Install it with:\n"
    "    sudo apt-get install -y libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
)


LEAST_WEASYPRINT = 70
"""Before 68 pages may read any file; before 70 a row of a table may stand alone on its page."""


@dataclass(frozen=True)
class Job:
    """A chapter to render: `files` are the drawings that its HTML names as drawing:NAME."""

    name: str
    html: str
    files: Mapping[str, str]
    references: tuple[PageReference, ...] = ()
    """The codes that its HTML and its drawings hold in the place of pages."""
    stamp: StampCodes | None = None
    """The codes that they hold in the place of revisions."""
    rows: tuple[tuple[str, str], ...] = ()
    """Rows of tables whose places are wanted: anchor and hash."""

    def numbered(self, labels: Mapping[str, str]) -> Job:
        """The chapter with pages in the place of its codes, to be laid out with them."""
        pages = {reference.code: labels[reference.target] for reference in self.references}
        codes = re.compile("|".join(pages) or "(?!)")

        def filled(text: str) -> str:
            return codes.sub(lambda found: pages[found[0]], text)

        files = {name: filled(svg) for name, svg in self.files.items()}
        return replace(self, html=filled(self.html), files=files, references=())


@dataclass(frozen=True)
class Bookmark:
    level: int
    label: str
    page: int
    y_pt: float


@dataclass(frozen=True)
class Row:
    """A row of a table on a page: left edge, top and foot in points, and its hash."""

    page: int
    x: float
    top: float
    foot: float
    hash: str


@dataclass(frozen=True)
class Rendered:
    """A chapter's pages and what the other chapters can point at.

    Pages count from 0; places are in points from the top of the page.
    """

    name: str
    heights_pt: tuple[float, ...]
    anchors: Mapping[str, tuple[int, float, float]]
    """Anchor -> page, x, y."""
    bookmarks: tuple[Bookmark, ...] = ()
    objects: tuple[KeptObject, ...] = ()
    page_objects: tuple[int, ...] = ()
    """Numbers of the objects that are its pages, in order."""
    faces: Mapping[str, str] = field(default_factory=dict)
    """Name of a font in its pages -> name of the face."""
    glyphs: Mapping[str, Mapping[int, str]] = field(default_factory=dict)
    """Name of a face -> glyphs in use -> text."""
    references: tuple[PageReference, ...] = ()
    unplaced: tuple[str, ...] = ()
    """Codes that are in none of its pages as they were given: it has to be laid out again."""
    stamp: StampCodes | None = None
    rows: tuple[Row, ...] = ()

    @property
    def pages(self) -> int:
        return len(self.heights_pt)


Renderer = Callable[[Iterable[Job]], Iterator[Rendered]]
"""Sets chapters, in the order in which they are done."""


def weasyprint_module() -> ModuleType:
    """WeasyPrint, or a BookError with the line to type where Pango is missing or it is too old."""
    os.environ["FONTCONFIG_FILE"] = str(NO_FONTS)
    warnings.filterwarnings("ignore", "No fonts configured")
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


PICTURE = re.compile(r"data:image/(jpeg|png);base64,([A-Za-z0-9+/=]+)")
"""A picture of the author's notes: it was read and looked at when the folder was."""


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
    elif picture := PICTURE.fullmatch(url):
        return base64.b64decode(picture[2]), f"image/{picture[1]}"
    elif url.startswith("file:///"):
        from urllib.request import url2pathname

        path = Path(url2pathname(url.removeprefix("file://"))).resolve()
        if any(path.is_relative_to(folder) for folder in served_folders()) and path.is_file():
            return path.read_bytes(), "font/ttf" if path.suffix == ".ttf" else "text/plain"
    raise ValueError(f"{url} is not served to pages")


def closed_fetcher(files: Mapping[str, str], dots: Collection[str] = ()) -> object:
    """A WeasyPrint URL fetcher that serves `served` and nothing else.

    Drawings whose addresses are among `dots` are served as a dot each.
    """
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class Closed(URLFetcher):  # type: ignore[misc]  # WeasyPrint has no types
        def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> object:
            if url in dots:
                return URLFetcherResponse(url, DOT, {"Content-Type": "image/png"})
            body, media = served(url, files)
            return URLFetcherResponse(url, body, {"Content-Type": media})

    return Closed(allowed_protocols=("file", "drawing"))


def render(job: Job) -> Rendered:
    """Set one chapter; runs in a worker process."""
    weasyprint = weasyprint_module()
    forms = {f"drawing:{name}": form for name, svg in job.files.items() if (form := form_of(svg))}
    fetcher = closed_fetcher(job.files, forms)

    def lay_out(html: str) -> Any:
        return weasyprint.HTML(string=html, base_url="drawing:", url_fetcher=fetcher).render()

    document = laid_out(lay_out, job.html)
    anchors: dict[str, tuple[int, float, float]] = {}
    bookmarks: list[Bookmark] = []
    hashes = dict(job.rows)
    rows: list[Row] = []
    for number, page in enumerate(document.pages):
        for name, place in page.anchors.items():
            if hash_ := hashes.pop(name, ""):
                x, top, _, foot = (PX_TO_PT * value for value in place)
                rows.append(Row(number, x, top, foot, hash_))
            if name != END:
                anchors.setdefault(name, (number, place[0] * PX_TO_PT, place[1] * PX_TO_PT))
        for level, label, (_x, y), _state in page.bookmarks:
            bookmarks.append(Bookmark(level, label, number, y * PX_TO_PT))
    heights = tuple(page.height * PX_TO_PT for page in document.pages)
    kept: list[Rendered] = []

    def keep(document: Any, pdf: Any) -> None:
        laid = Rendered(
            job.name,
            heights,
            anchors,
            tuple(bookmarks),
            references=job.references,
            stamp=job.stamp,
            rows=tuple(rows),
        )
        kept.append(_with_objects(laid, document, pdf, forms))
        del pdf.objects[3:]

    document.write_pdf(finisher=keep)
    return kept[0]


def _with_objects(laid: Rendered, document: Any, pdf: Any, forms: Mapping[str, Form]) -> Rendered:
    """What is kept of a finished PDF: all that its pages need but the fonts of the book."""
    faces = {font.hash: name for font in document.fonts.values() if (name := _face_name(font))}
    glyphs: dict[str, dict[int, str]] = {}
    for font in document.fonts.values():
        if name := faces.get(font.hash):
            glyphs.setdefault(name, {}).update(font.to_unicode)
    images: dict[str, Picture] = {}
    keeper = Keeper(pdf, faces, images)
    for drawing, form in forms.items():
        picture = Picture(keeper.add(_form_object(form)), form.width_pt, form.height_pt)
        digest = md5(drawing.encode(), usedforsecurity=False).hexdigest()
        images.update({f"i{digest}{smooth}": picture for smooth in (0, 1)})
        for name, used in form.glyphs.items():
            glyphs.setdefault(name, {}).update(used)
    pages = tuple(keeper.take(int(reference.split()[0])) for reference in pdf.page_references)
    objects = [one for one in keeper.kept if one is not None]
    fonts = faces | {name: name for name in WEIGHTS}
    by_code = {reference.code: reference for reference in laid.references}
    placed: set[str] = set()
    for number, one in enumerate(objects):
        found = codes_in(one.stream, fonts, by_code) if one.stream and not one.packed else set()
        placed |= found
        if not found and not _is_stamped(one, laid.stamp, fonts):
            objects[number] = packed(one)
    return replace(
        laid,
        objects=tuple(objects),
        page_objects=pages,
        faces=fonts,
        glyphs=glyphs,
        unplaced=tuple(code for code in by_code if code not in placed),
    )


def _is_stamped(one: KeptObject, stamp: StampCodes | None, fonts: Mapping[str, str]) -> bool:
    return bool(stamp and one.stream and not one.packed and holds_stamps(one.stream, stamp, fonts))


def _face_name(font: Any) -> str | None:
    """The face of the book's typeface that a font of WeasyPrint is; None for any other."""
    if font.family != "Roboto" or font.glyph_count != len(face("Regular").widths) or font.missing:
        return None
    style = "italic" if font.style else "normal"
    return next((name for name, how in WEIGHTS.items() if how == (font.weight, style)), None)


def _form_object(form: Form) -> KeptObject:
    """A drawing as a form of its own size.

    Not of one by one, as a picture is: readers of text pass over the letters of such a form.
    """
    fonts = "".join(f"/{name} \0f{name}\0" for name in form.glyphs)
    text = (
        f"<</Type /XObject/Subtype /Form/BBox [0 0 {form.width_pt:.6f} {form.height_pt:.6f}]"
        f"/Resources <</Font <<{fonts}>>>>>>"
    )
    return KeptObject(text.encode(), form.content)
