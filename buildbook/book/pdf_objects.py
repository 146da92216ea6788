"""Objects of a chapter's PDF, kept apart from any file so that chapters can be joined to one.

What depends on the book is left open in an object's text, between two NUL bytes, which no PDF
dictionary holds: 'r4' the chapter's object 4, 'f' and a face's name its font, 'p' the tree of
pages, 'd' and an anchor the place that it stands at.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import pydyf

from buildbook.book.links import SCHEME

OPEN = re.compile(rb"\0([rfpd])([^\0]*)\0")
REFERENCE = re.compile(rb"(\d+) 0 R")
PICTURE = re.compile(rb"([\d.]+) 0 0 -([\d.]+) 0 ([\d.]+) cm\n/(\w+) Do")
"""A picture painted into a rectangle: width and height, and the picture's name."""
PACKED = b"/Filter /FlateDecode"


@dataclass(frozen=True)
class KeptObject:
    """A dictionary, array or number, or a stream with its dictionary; its number is its place."""

    text: bytes
    """With open ends; of a stream without its length and filter."""
    stream: bytes | None = None
    packed: bool = False
    """True where the stream is deflated."""


@dataclass(frozen=True)
class Picture:
    """A form that is painted where a picture was laid out, of this size of its own."""

    number: int
    """Of the kept object."""
    width: float
    height: float


class Keeper:
    """Takes objects over from a PDF under way, those first that are asked for."""

    def __init__(
        self, pdf: pydyf.PDF, fonts: Mapping[str, str], images: Mapping[str, Picture]
    ) -> None:
        """`fonts`: name of a font of the book -> of its face; `images`: name -> its form."""
        self._found = pdf.objects
        self._fonts, self._images = fonts, images
        self._numbers: dict[int, int] = {}
        self._waiting: list[tuple[int, pydyf.Object]] = []
        self.kept: list[KeptObject | None] = []

    def add(self, kept: KeptObject) -> int:
        """Keep an object that is not of the PDF; returns its number."""
        self.kept.append(kept)
        return len(self.kept) - 1

    def take(self, number: int) -> int:
        """Keep an object of the PDF and what it refers to; returns its number among the kept."""
        place = self._number(number)
        while self._waiting:
            at, found = self._waiting.pop()
            self.kept[at] = self._kept(found)
        return place

    def _number(self, number: int) -> int:
        if number not in self._numbers:
            self.kept.append(None)
            self._numbers[number] = len(self.kept) - 1
            self._waiting.append((self._numbers[number], self._found[number]))
        return self._numbers[number]

    def _kept(self, found: pydyf.Object) -> KeptObject:
        """An object as it is kept; what WeasyPrint drew without its moves by nothing."""
        if not isinstance(found, pydyf.Stream):
            return KeptObject(self._written(found))
        text = self._written(pydyf.Dictionary(found.extra))
        stream = b"\n".join(_plain(item) for item in found.stream)
        if type(found) is not pydyf.Stream:
            stream = stream.replace(b">0<", b"").replace(b">0]", b">]")
            stream = PICTURE.sub(self._scaled, stream)
        return KeptObject(text, stream, "Filter" in found.extra)

    def _scaled(self, found: re.Match[bytes]) -> bytes:
        """A picture fills a square of one by one, a form a rectangle of its own size."""
        if (picture := self._images.get(found[4].decode())) is None:
            return found[0]
        across, up = float(found[1]) / picture.width, float(found[2]) / picture.height
        return b"%.6f 0 0 %.6f 0 %s cm\n/%s Do" % (across, -up, found[3], found[4])

    def _written(self, value: object) -> bytes:
        """A value as PDF text, with open ends."""
        if isinstance(value, pydyf.Dictionary):
            return self._dictionary(value)
        if isinstance(value, pydyf.Array):
            return b"[" + b" ".join(self._written(item) for item in value) + b"]"
        if isinstance(value, bytes) and (found := REFERENCE.fullmatch(value)):
            return b"\0r%d\0" % self._number(int(found[1]))
        return _plain(value)

    def _dictionary(self, value: pydyf.Dictionary) -> bytes:
        page = value.get("Type") == "/Page"
        items = []
        for key, item in value.items():
            if page and key == "Parent":
                written = b"\0p\0"
            elif key in self._fonts:
                written = b"\0f" + self._fonts[key].encode() + b"\0"
            elif key in self._images:
                written = b"\0r%d\0" % self._images[key].number
            elif key == "A" and (target := _target(item)):
                key, written = "Dest", b"\0d" + target.encode() + b"\0"
            else:
                written = self._written(item)
            items.append(b"/" + key.encode() + b" " + written)
        return b"<<" + b"".join(items) + b">>"


def _target(action: object) -> str:
    """The anchor that an action leads to, '' where it leads out of the book."""
    address = action.get("URI") if isinstance(action, pydyf.Dictionary) else None
    text = address.string if isinstance(address, pydyf.String) else ""
    return text.removeprefix(SCHEME) if text.startswith(SCHEME) else ""


def _plain(value: object) -> bytes:
    """A number, name, string or operator as PDF text."""
    if isinstance(value, bytes):
        return value
    if isinstance(value, float):
        return f"{value:.6f}".rstrip("0").rstrip(".").encode()
    if isinstance(value, pydyf.Object):
        return bytes(value.data)
    return str(value).encode("ascii")


def within_reach(objects: Sequence[KeptObject], first: Iterable[int]) -> set[int]:
    """Numbers of some objects of a chapter and of all that they refer to."""
    found: set[int] = set()
    waiting = [*first]
    while waiting:
        number = waiting.pop()
        if number not in found:
            found.add(number)
            waiting += [int(n) for kind, n in OPEN.findall(objects[number].text) if kind == b"r"]
    return found


def packed(kept: KeptObject) -> KeptObject:
    """A stream deflated; anything else as it is."""
    if kept.stream is None or kept.packed:
        return kept
    return KeptObject(kept.text[:-2] + PACKED + b">>", zlib.compress(kept.stream, 6), True)


def closed(text: bytes, filled: Callable[[bytes, bytes], bytes]) -> bytes:
    """An object's text with its open ends filled, given the kind of each and what follows it."""
    return OPEN.sub(lambda found: filled(found[1], found[2]), text)
