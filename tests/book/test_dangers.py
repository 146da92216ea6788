"""The cautions of a book are those of its vehicle, read from the PDF; of what it has not, none."""

from __future__ import annotations

import pytest

from buildbook.book.dangers import dangers_of
from tests.book_of import book_of, texts_of

OF_AN_ENGINE = {
    "fuel": "sparks, no test lamp",
    "cranking": "The engine can turn",
    "hot": "Let the engine, exhaust",
    "ignition": "Coils give tens of thousands",
}
"""Words of each caution; what they warn of is common practice, no source."""


@pytest.mark.parametrize("kind", OF_AN_ENGINE)
def test_a_trailer_is_not_warned_of_an_engine(two_wire, motorcycle, kind):
    trailer, bike = (
        " ".join(" ".join(texts_of(book_of(r))).split()) for r in (two_wire, motorcycle)
    )
    assert OF_AN_ENGINE[kind] in bike
    assert OF_AN_ENGINE[kind] not in trailer
    assert "A battery gives hundreds of amps" in trailer


def test_what_turns_by_itself_moves_without_an_engine(two_wire, two_batteries):
    assert "moving" not in dangers_of(two_wire.vehicle)
    assert dangers_of(two_batteries.vehicle) >= {"fuel", "cranking", "moving", "battery"}
