"""The revision and date of each page, put in when it is known which pages changed.

Where revisions were issued, a page's foot and the title blocks on it hold codes; in the finished
page they give way to the revision that it was last changed in. A foot reads from its left and
nothing follows it; a line that is held at its end moves by what it gets narrower.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape
from itertools import count

from buildbook.book.typeface import Face, face, printable
from buildbook.drawing.shared.sheet import strip_end

LIMITS_EM = {"revision": 10.0, "strip": 10.0, "block": 4.6, "date": 20.0}
"""Room for each kind, in sizes of the font: a longer name is cut."""
FACE = re.compile(rb"/(\w+) [-0-9.]+ Tf")
IN_BLOCK = re.compile(r'(<text [^>]*class="(revision|date)"[^>]*>)[^<]*(</text>)')
IN_STRIP = re.compile(r'(<text [^>]*class="strip"[^>]*>[^<]*)(</text>)')


@dataclass(frozen=True)
class Stamp:
    """What stands at the foot of a page."""

    revision: str
    date: str


@dataclass(frozen=True)
class StampCodes:
    """What a chapter holds in the place of its pages' revisions and dates, by kind."""

    revision: str
    """At the foot of each page."""
    date: str
    block: str
    """In a title block, where there is less room."""
    strip: str
    """In a strip, whose line is held at its end."""

    @property
    def by_kind(self) -> dict[str, str]:
        return {"revision": self.revision, "date": self.date, "block": self.block} | {
            "strip": self.strip
        }


def codes_for(written: str) -> StampCodes:
    """Codes of digits and dashes, which are not kerned, that stand nowhere in what is written."""
    for number in count():
        made = [f"–{number}–{kind}–{number}–" for kind in range(4)]
        if not any(code in written for code in made):
            return StampCodes(*made)
    raise AssertionError("there is always another number")


def with_codes(svg: str, codes: StampCodes, revision: str) -> str:
    """A drawing with codes in its title block and strip, which say `revision`."""
    by_class = {"revision": codes.block, "date": codes.date}
    svg = IN_BLOCK.sub(lambda found: found[1] + by_class[found[2]] + found[3], svg)
    said, coded = (
        strip_end(escape(revision, quote=False)),
        strip_end(codes.strip),
    )
    return IN_STRIP.sub(lambda found: found[1].replace(said, coded) + found[2], svg)


def holds_stamps(stream: bytes, codes: StampCodes, faces: Mapping[str, str]) -> bool:
    """Whether a page's content holds any of the codes."""
    return next(_places(stream, codes, faces), None) is not None


def put_stamp(
    stream: bytes, codes: StampCodes, faces: Mapping[str, str], stamp: Stamp | None
) -> bytes:
    """A page's content with the stamp in the place of codes; with None what no stamp alters.

    `faces`: name of a font in the page -> of its face.
    """
    pieces: list[bytes] = []
    done = 0
    for begin, end, string, kind, code, type_ in _places(stream, codes, faces):
        if stamp is None:
            pieces += [stream[done:begin], kind.encode()]
        else:
            said = stamp.date if kind == "date" else stamp.revision
            label = _cut(printable(said), LIMITS_EM[kind], type_)
            shift = type_.width_of(code) - type_.width_of(label) if kind == "strip" else 0.0
            moved = f"{-shift:.3f}".rstrip("0").rstrip(".").encode() if shift else b""
            pieces += [stream[done:string], moved, stream[string:begin]]
            pieces.append(type_.hex_of(label).encode())
        done = end
    return b"".join([*pieces, stream[done:]])


def _places(
    stream: bytes, codes: StampCodes, faces: Mapping[str, str]
) -> Iterator[tuple[int, int, int, str, str, Face]]:
    """Codes in a content stream: begin, end, begin of their string, kind, code, face."""
    types = [face(name) for name in {*faces.values()}]
    hexes = {
        t.hex_of(code).encode(): (kind, code) for t in types for kind, code in codes.by_kind.items()
    }
    at = 0
    for found in re.finditer(b"|".join(hexes) or b"(?!)", stream):
        string = max(stream.rfind(b"<", at, found.start()), at)
        before = [*FACE.finditer(stream, max(0, stream.rfind(b" Tf", 0, string) - 80), string)]
        name = faces.get(before[-1][1].decode()) if before else None
        kind, code = hexes[found[0]]
        aligned = (found.start() - string) % 4 == 1 or string == at
        if name and aligned and face(name).hex_of(code).encode() == found[0]:
            yield found.start(), found.end(), string, kind, code, face(name)
            at = found.end()


def _cut(label: str, limit_em: float, type_: Face) -> str:
    """The label, or as much of it as there is room for."""
    while len(label) > 1 and type_.width_of(label) > limit_em * 1000:
        label = label[: -2 if label.endswith("…") else -1] + "…"
    return label
