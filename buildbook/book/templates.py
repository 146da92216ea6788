"""Templates to HTML: the environment, its filters, links, and a chapter filled in."""

from __future__ import annotations

import re
from functools import cache

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup, escape

from buildbook.book import formats
from buildbook.book.chapter import Chapter, anchor
from buildbook.book.fault_wording import short_place
from buildbook.book.links import SCHEME
from buildbook.book.page_numbers import PageMap, page_run
from buildbook.book.record import Record
from buildbook.book.resources import WEIGHTS, font_files, template_folder
from buildbook.book.typeface import printable
from buildbook.checks.naming import first_up
from buildbook.description.models import VehicleData
from buildbook.drawing.shared.papers import PAGES
from buildbook.figures import AREA, estimated, squared
from buildbook.harness.model import Wire
from buildbook.vehicle.power_model import Supply
from buildbook.words.joined import all_of, listed, numbers_listed
from buildbook.words.say import in_figures, language, say, say_n, worded, worded_n

UNBROKEN = 24
"""Letters of a name up to which it is kept on one line; a longer one might leave its cell."""


def identity(name: str) -> Markup:
    """An id that is not broken over lines while it is short."""
    return Markup('<span class="{}">{}</span>').format(_class_of(name), name)


def named(wire: Wire) -> str:
    """A wire where it is told of: its number with its colour, which stay together: '411 RD/BK'."""
    return f"{wire.id} {wire.colour}"


def on_label(text: str) -> Markup:
    """What is written on a label, broken over lines at spaces, hyphens and slashes alone.

    A line that ended after the point of `air-temperature.1` would say that the pin has no name.
    """
    parts = LABEL_PARTS.split(text)
    return Markup("").join(identity(part) if "." in part else part for part in parts)


def whole_words(text: str) -> Markup:
    """Words of which none is broken at a slash: 'RD/WH'."""
    parts = re.split(r"(?<= )", text)
    return Markup("").join(identity(part) if "/" in part else part for part in parts)


def _class_of(shown: str) -> str:
    return "id" if len(shown) <= UNBROKEN else "long"


def link(kind: str, name: str, text: str | None = None) -> Markup:
    """A link to a named thing: link('wire', '204b')."""
    shown = name if text is None else text
    target = f"{SCHEME}{anchor(kind, name)}"
    return Markup('<a class="{}" href="{}">{}</a>').format(_class_of(shown), target, shown)


LABEL_PARTS = re.compile(r"(?<=[-/ ])")
LETTER = re.compile("‹(.*?)›")
"""A letter in the words of a tree: see `fault_trees`."""
BODY = re.compile("<body>(.*)</body>", re.DOTALL)
BLOCKS = "(?:td|th|p|li|dt|dd|h[1-6]|div|caption)"
SPACE_AFTER = re.compile(rf"(<(?:{BLOCKS}|br)\b[^>]*>)[ \t\r\n]+")
SPACE_BEFORE = re.compile(rf"[ \t\r\n]+(</{BLOCKS}>|<br\b)")


SQUARE_MM = re.compile(rf"{AREA.pattern}(?![^<>]*>)")
"""In what is read: addresses and anchors, which stand within a tag, stay as they are."""
SIZE_HEADS = {False: Markup("mm²<br>AWG"), True: Markup("AWG")}
"""Over sizes without their unit, by whether wire is named by gauge numbers."""

LEADS_OUT = re.compile(r"(https?://|mailto:)[^\s/?#]", re.IGNORECASE)
"""What a link of an author may be: a file beside the notes is not beside the printed book."""


class _AuthorMarkdown(MarkdownIt):
    """Markdown whose links lead out of the book and to no file; all others stay as written."""

    def validateLink(self, url: str) -> bool:
        is_picture = url.startswith(("data:image/jpeg;base64,", "data:image/png;base64,"))
        return is_picture or (super().validateLink(url) and bool(LEADS_OUT.match(url)))


@cache
def _markdown() -> MarkdownIt:
    return _AuthorMarkdown("commonmark", {"html": False}).enable("table")


def author_text(text: str) -> Markup:
    """The author's Markdown as HTML: no raw HTML, headings below the book's own, boxes to tick.

    A picture is printed where it is in the text itself; one that leads elsewhere is its words.
    """
    markdown = _markdown()
    tokens = markdown.parse(text)
    for token in tokens:
        if token.type == "inline":
            _tick_boxes(token)
            _no_pictures_from_elsewhere(token)
        if token.type in ("heading_open", "heading_close"):
            token.tag = f"h{min(6, int(token.tag[1]) + 3)}"
    return Markup(markdown.renderer.render(tokens, markdown.options, {}))


BOX = re.compile(r"\[([ xX])\]\s+")


def _tick_boxes(inline: Token) -> None:
    """`[ ]` at the beginning of an item or paragraph as a box, `[x]` as one that is ticked."""
    first = next(iter(inline.children or ()), None)
    found = BOX.match(first.content) if first is not None and first.type == "text" else None
    if first is None or found is None or inline.children is None:
        return
    first.content = first.content[found.end() :]
    ticked = "" if found[1] == " " else "×"
    box = Token("html_inline", "", 0, content=f'<span class="tick">{ticked}</span> ')
    inline.children.insert(0, box)


def _no_pictures_from_elsewhere(inline: Token) -> None:
    for place, token in enumerate(inline.children or ()):
        if token.type == "image" and not str(token.attrs.get("src", "")).startswith("data:"):
            assert inline.children is not None
            inline.children[place] = Token("text", "", 0, content=token.content)


@cache
def environment() -> Environment:
    """Templates with autoescape on and undefined names an error."""
    made = Environment(
        loader=FileSystemLoader(template_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.i18n"],
    )
    printed = (
        formats.amps,
        formats.volts,
        formats.plain,
        formats.number,
        formats.in_style,
        formats.money,
        formats.sentence,
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
        formats.millivolt_reading,
        formats.unit_words,
        formats.percent,
        formats.milli,
        formats.exact_amps,
        formats.exact_milliohms,
        formats.seconds,
        formats.stated_time,
        formats.amps_shown,
        formats.volts_or_millivolts,
        formats.rough_hours,
        all_of,
        listed,
        first_up,
        in_figures,
        named,
        numbers_listed,
        on_label,
        whole_words,
        squared,
        estimated,
        short_place,
        lettered,
        stacked,
    )
    made.policies["ext.i18n.trimmed"] = True
    made.install_gettext_callables(worded, worded_n, newstyle=True)  # type: ignore[attr-defined]
    made.filters.update({function.__name__: function for function in printed})
    made.filters.update(id=identity, author=author_text)
    made.globals.update(anchor=anchor, say=say, say_n=say_n, language=language)
    return made


def chapter_html(
    chapter: Chapter,
    place: int,
    chapters: tuple[Chapter, ...],
    vehicle: VehicleData,
    pages: PageMap,
    supply: Supply,
    record: Record | None = None,
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

    def filled_in(one: Chapter) -> str:
        return (
            environment()
            .get_template(one.template)
            .render(
                one.context,
                chapter=one,
                place=place,
                follows=one is not chapter,
                chapters=chapters,
                vehicle=vehicle,
                link=link_here,
                page=page,
                has=has,
                pages=pages,
                earthed=supply,
                record=record,
                units=vehicle.measures,
                page_mm=PAGES[vehicle.paper],
                size_head=SIZE_HEADS[vehicle.measures.gauges],
                faces=faces,
                page_run=page_run,
                quoted=css_string,
            )
        )

    whole, end, after = filled_in(chapter).rpartition("</body>")
    rest = (BODY.search(filled_in(one)) for one in chapter.followed_by)
    parts = (whole, *(found[1] for found in rest if found), end, after)
    html = without_edge_space("".join(parts))
    return SQUARE_MM.sub(lambda found: squared(found[0]), html)


def without_edge_space(html: str) -> str:
    """HTML without the space at the edges of blocks that only the template's indentation makes.

    WeasyPrint counts it where it works out how wide a column has to be, and may then break a
    cell's first line after one word.
    """
    return SPACE_BEFORE.sub(r"\1", SPACE_AFTER.sub(r"\1", html))


def stacked(reading: str, joint: str = "<br>") -> Markup:
    """A reading in a narrow column: a mean of pulses, and below it what they swing between.

    With a space for `joint` beside it, where the column is wide enough.
    """
    mean, *swing = formats.reading_parts(reading)
    if not swing:
        return escape(mean)
    whole = Markup('<span class="unbroken">{}</span>')
    return Markup(joint).join(map(whole.format, (mean, *swing)))


def lettered(text: str) -> Markup:
    """Words of a tree that stands for several, with its letters in boxes: 'fuse ‹A› blown'."""
    return Markup(LETTER.sub(r'<b class="letter">\1</b>', str(escape(text))))


CSS_PLAIN = re.compile(r"[^\w .,:;()/+–-]", re.ASCII)


def css_string(text: str) -> Markup:
    """Text as a string of a style sheet within HTML, which shows it as it is written.

    What is not plain is its code in hexadecimal (CSS Syntax, 4.3.7), so that neither the style
    sheet nor the HTML around it sees a sign of its own.
    """
    coded = CSS_PLAIN.sub(lambda found: f"\\{ord(found[0]):x} ", " ".join(printable(text).split()))
    return Markup(f'"{coded}"')
