"""One font for each face of the typeface that a book uses, with the glyphs that it uses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial

import pydyf

from buildbook.book.setting import setting
from buildbook.book.typeface import Face, face, part_of
from buildbook.files.kept import key_of
from buildbook.files.kept_objects import once

SYMBOLIC, ITALIC = 1 << 2, 1 << 6
"""Flags of a font (ISO 32000-1, table 123)."""
STEM = 80
"""Width of an upright stem: viewers use it only where the font itself is missing."""


def add_font(pdf: pydyf.PDF, name: str, glyphs: Mapping[int, str], keep: bool = False) -> bytes:
    """Put a face with these glyphs (number -> text) into a PDF; returns the reference to it.

    With `keep` its file is looked for in the user's cache folder, and kept there.
    """
    type_ = face(name)
    key = key_of((setting(), "font", name, sorted(glyphs))) if keep else ""
    data = once(key, partial(part_of, name, glyphs))
    file = pydyf.Stream([data], {"Length1": len(data)}, compress=True)
    pdf.add_object(file)
    base = f"/{_tag(glyphs)}+Roboto-{name}"
    descriptor = pydyf.Dictionary(
        {
            "Type": "/FontDescriptor",
            "FontName": base,
            "FontFamily": pydyf.String("Roboto"),
            "Flags": SYMBOLIC + (ITALIC if name == "Italic" else 0),
            "FontBBox": pydyf.Array(type_.box),
            "ItalicAngle": -12 if name == "Italic" else 0,
            "Ascent": type_.ascent,
            "Descent": type_.descent,
            "CapHeight": 711,
            "StemV": STEM,
            "FontFile2": file.reference,
        }
    )
    pdf.add_object(descriptor)
    system = {
        "Registry": pydyf.String("Adobe"),
        "Ordering": pydyf.String("Identity"),
        "Supplement": 0,
    }
    described = pydyf.Dictionary(
        {
            "Type": "/Font",
            "Subtype": "/CIDFontType2",
            "BaseFont": base,
            "CIDSystemInfo": pydyf.Dictionary(system),
            "CIDToGIDMap": "/Identity",
            "W": _widths(type_, glyphs),
            "FontDescriptor": descriptor.reference,
        }
    )
    pdf.add_object(described)
    text = pydyf.Stream([_to_unicode(glyphs)], compress=True)
    pdf.add_object(text)
    font = pydyf.Dictionary(
        {
            "Type": "/Font",
            "Subtype": "/Type0",
            "BaseFont": base,
            "Encoding": "/Identity-H",
            "DescendantFonts": pydyf.Array([described.reference]),
            "ToUnicode": text.reference,
        }
    )
    pdf.add_object(font)
    return bytes(font.reference)


def merged(each: Iterable[Mapping[str, Mapping[int, str]]]) -> dict[str, dict[int, str]]:
    """The glyphs that several chapters use, by face, in the order of their numbers."""
    found: dict[str, dict[int, str]] = {}
    for used in each:
        for name, glyphs in used.items():
            for glyph, text in glyphs.items():
                found.setdefault(name, {}).setdefault(glyph, text)
    return {name: dict(sorted(found[name].items())) for name in sorted(found)}


def _tag(glyphs: Iterable[int]) -> str:
    """Six capitals that tell one part of a font from another (ISO 32000-1, 9.6.4)."""
    number = 0
    for glyph in glyphs:
        number = (number * 65537 + glyph + 1) % 26**6
    return "".join(chr(ord("A") + number // 26**place % 26) for place in range(6))


def _widths(type_: Face, glyphs: Iterable[int]) -> pydyf.Array:
    """Runs of neighbouring glyphs with their widths (ISO 32000-1, 9.7.4.3)."""
    runs = pydyf.Array()
    last = -2
    for glyph in sorted(glyphs):
        if glyph != last + 1:
            runs.extend([glyph, pydyf.Array()])
        runs[-1].append(type_.widths[glyph])
        last = glyph
    return runs


def _to_unicode(glyphs: Mapping[int, str]) -> bytes:
    """The map from glyphs to text, so that words can be searched (ISO 32000-1, 9.10.3)."""
    lines = [
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap",
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def",
        "/CMapName /Adobe-Identity-UCS def /CMapType 2 def",
        "1 begincodespacerange <0000> <ffff> endcodespacerange",
    ]
    items = [(g, text.encode("utf-16-be").hex()) for g, text in sorted(glyphs.items())]
    for begin in range(0, len(items), 100):
        batch = items[begin : begin + 100]
        lines.append(f"{len(batch)} beginbfchar")
        lines += [f"<{glyph:04x}> <{text}>" for glyph, text in batch]
        lines.append("endbfchar")
    lines.append("endcmap CMapName currentdict /CMap defineresource pop end end")
    return "\n".join(lines).encode()
