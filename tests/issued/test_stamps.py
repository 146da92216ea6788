"""Codes in the place of revisions give way to them, wherever a page holds them."""

from __future__ import annotations

import pytest

from buildbook.book.stamps import Stamp, codes_for, put_stamp, with_codes
from buildbook.book.typeface import face

TYPE = face("Regular")
FACES = {"F": "Regular"}
CODES = codes_for("")
B = Stamp("B", "2026-05-01")


def shown(text: str) -> bytes:
    """As WeasyPrint shows a line whose first letters are kerned."""
    first, rest = TYPE.hex_of(text[:2]).encode(), TYPE.hex_of(text[2:]).encode()
    return b"BT\n/F 10.6 Tf\n[<" + first + b">6<" + rest + b">] TJ\nET"


def test_a_foot_says_the_revision_and_the_date():
    stream = shown(f"Revision {CODES.revision} · {CODES.date}")
    assert put_stamp(stream, CODES, FACES, B) == shown("Revision B · 2026-05-01")


def test_what_no_stamp_alters_is_the_same_for_all_of_them_and_not_for_other_words():
    stream, other = (shown(f"{word} {CODES.revision}") for word in ("Revision", "Version"))
    assert put_stamp(stream, CODES, FACES, None) != put_stamp(other, CODES, FACES, None)
    assert put_stamp(stream, CODES, FACES, None) == put_stamp(stream, CODES, FACES, None)


def test_a_line_that_is_held_at_its_end_moves_by_what_it_gets_narrower():
    """TJ counts thousandths of the size to the left (ISO 32000-1, 9.4.3)."""
    stream = b"/F 2.6 Tf [<" + TYPE.hex_of(f"revision {CODES.strip} · page").encode() + b">] TJ"
    narrower = TYPE.width_of(CODES.strip) - TYPE.width_of("B")
    moved = f"[{-narrower:.3f}".rstrip("0").rstrip(".").encode()
    done = put_stamp(stream, CODES, FACES, B)
    assert (
        done == b"/F 2.6 Tf " + moved + b"<" + TYPE.hex_of("revision B · page").encode() + b">] TJ"
    )


def test_a_name_that_is_too_long_for_a_title_block_is_cut():
    stream = b"/F 3 Tf [<" + TYPE.hex_of(CODES.block).encode() + b">] TJ"
    done = put_stamp(stream, CODES, FACES, Stamp("a revision of a long name", ""))
    assert TYPE.hex_of("…").encode() in done
    assert len(done) < len(stream) + 4 * 10


def test_an_author_who_writes_like_a_code_keeps_what_they_wrote():
    assert codes_for(f"between {CODES.revision} and 5 V") != CODES


@pytest.mark.parametrize("revision", ["B", "B & <C>"])
def test_title_block_and_strip_of_a_drawing_take_codes(revision):
    said = revision.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    block = f'<text class="revision" x="1">{said}</text><text class="date" x="2">2026</text>'
    strip = f'<text class="strip" x="3">scale 1:2 · revision {said} · page</text>'
    other = f"<text>revision {said} · page</text>"
    done = with_codes(block + strip + other, CODES, revision)
    assert done == (
        f'<text class="revision" x="1">{CODES.block}</text><text class="date" x="2">{CODES.date}'
        f'</text><text class="strip" x="3">scale 1:2 · revision {CODES.strip} · page</text>{other}'
    )
