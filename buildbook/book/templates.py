"""Templates to HTML: the environment, its filters, links, and a chapter filled in."""

from __future__ import annotations

import re
from functools import cache

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markdown_it import MarkdownIt
from markupsafe import Markup, escape

from buildbook.bench.cut_list import whole_mm
from buildbook.book import formats
from buildbook.book.chapter import Chapter, anchor
from buildbook.book.fault_wording import short_place
from buildbook.book.links import SCHEME
from buildbook.book.page_numbers import PageMap, page_label
from buildbook.book.resources import WEIGHTS, font_files, template_folder
from buildbook.description.models import VehicleData
from buildbook.electrical.reading import Reading
from buildbook.vehicle.power_model import Supply


def identity(name: str) -> Markup:
    """An id that is not broken over lines."""
    return Markup('<span class="id">{}</span>').format(name)


def link(kind: str, name: str, text: str | None = None) -> Markup:
    """A link to a named thing: link('wire', '204b')."""
    shown = name if text is None else text
    target = f"{SCHEME}{anchor(kind, name)}"
    return Markup('<a class="id" href="{}">{}</a>').format(target, shown)


LETTER = re.compile("‹(.*?)›")
"""A letter in the words of a tree: see `fault_trees`."""
BLOCKS = "(?:td|th|p|li|dt|dd|h[1-6]|div|caption)"
SPACE_AFTER = re.compile(rf"(<(?:{BLOCKS}|br)\b[^>]*>)[ \t\r\n]+")
SPACE_BEFORE = re.compile(rf"[ \t\r\n]+(</{BLOCKS}>|<br\b)")


class _AuthorMarkdown(MarkdownIt):
    """Markdown whose links lead out of the book: what is within it has names that are ours."""

    def validateLink(self, url: str) -> bool:
        return super().validateLink(url) and not url.lower().startswith(SCHEME)


@cache
def _markdown() -> MarkdownIt:
    return _AuthorMarkdown("commonmark", {"html": False}).enable("table").disable("image")


def author_text(text: str) -> Markup:
    """The author's Markdown as HTML: no raw HTML, no images, headings below the book's own."""
    markdown = _markdown()
    tokens = markdown.parse(text)
    for token in tokens:
        if token.type in ("heading_open", "heading_close"):
            token.tag = f"h{min(6, int(token.tag[1]) + 3)}"
    return Markup(markdown.renderer.render(tokens, markdown.options, {}))


@cache
def environment() -> Environment:
    """Templates with autoescape on and undefined names an error."""
    made = Environment(
        loader=FileSystemLoader(template_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    printed = (
        formats.amps,
        formats.volts,
        formats.plain,
        formats.number,
        formats.money,
        formats.share,
        formats.ohms,
        formats.ohms_or_open,
        formats.hours,
        formats.ohms_range,
        formats.ohms_nominal,
        formats.volts_range,
        formats.reading,
        formats.short_reading,
        formats.brief_reading,
        formats.pocket_reading,
        formats.millivolt_reading,
        formats.unit_words,
        formats.bare_size,
        formats.square_mm,
        formats.percent,
        formats.milli,
        formats.exact_amps,
        formats.exact_milliohms,
        formats.seconds,
        formats.amps_shown,
        formats.volts_or_millivolts,
        formats.rough_hours,
        formats.quantity,
        formats.bare_quantity,
        whole_mm,
        short_place,
        lettered,
        stacked_reading,
    )
    made.filters.update({function.__name__: function for function in printed})
    made.filters.update(id=identity, author=author_text)
    made.globals.update(anchor=anchor)
    return made


def chapter_html(
    chapter: Chapter,
    place: int,
    chapters: tuple[Chapter, ...],
    vehicle: VehicleData,
    pages: PageMap,
    supply: Supply,
) -> str:
    """The chapter's HTML as chapter number `place`, with page references as far as known."""

    def link_here(kind: str, name: str, text: str | None = None) -> Markup:
        if kind in pages.absent:
            return identity(name if text is None else text)
        return link(kind, name, text)

    def page(kind: str, name: str) -> Markup:
        target = anchor(kind, name)
        room_em = pages.room_em(target)
        room = Markup(' style="min-width: {}em"').format(room_em) if room_em else ""
        written = Markup('<a class="page{}" href="book:{}"{}>{}</a>')
        return written.format(" room" if room else "", target, room, pages.page(target))

    def has(kind: str, name: str) -> bool:
        return anchor(kind, name) in pages.labels

    faces = [(path.as_uri(), *WEIGHTS[name]) for name, path in font_files().items()]
    template = environment().get_template(chapter.template)
    return without_edge_space(
        template.render(
            chapter.context,
            chapter=chapter,
            place=place,
            chapters=chapters,
            vehicle=vehicle,
            link=link_here,
            page=page,
            has=has,
            pages=pages,
            earthed=supply,
            faces=faces,
            page_label=page_label,
            quoted=lambda text: Markup('"{}"').format(escape(css_text(text))),
        )
    )


def without_edge_space(html: str) -> str:
    """HTML without the space at the edges of blocks that only the template's indentation makes.

    WeasyPrint counts it where it works out how wide a column has to be, and may then break a
    cell's first line after one word.
    """
    return SPACE_BEFORE.sub(r"\1", SPACE_AFTER.sub(r"\1", html))


def stacked_reading(value: Reading | None, digits: int = 1) -> Markup:
    """As `brief_reading`; what pulses swing between stands below their mean."""
    mean, average, swing = formats.brief_reading(value, digits).partition(" av. ")
    return Markup("{} av.<br>{}").format(mean, swing) if average else escape(mean)


def lettered(text: str) -> Markup:
    """Words of a tree that stands for several, with its letters in boxes: 'fuse ‹A› blown'."""
    return Markup(LETTER.sub(r'<b class="letter">\1</b>', str(escape(text))))


def css_text(text: str) -> str:
    """Text for between double quotes in a style sheet."""
    kept = text.replace("\\", " ").replace('"', "'").replace("\n", " ")
    return kept.replace("<", "‹").replace(">", "›").replace("&", "+")
