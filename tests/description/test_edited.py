"""A description with single values written otherwise."""

from __future__ import annotations

from buildbook.description.edited import edited
from buildbook.description.read import read_folder
from tests.conftest import TESTS


def test_what_is_edited_of_an_entry_that_was_taken_out_stays_out():
    contents, problems = read_folder(TESTS / "vehicles" / "two-wire")
    assert contents is not None and not problems
    name = next(iter(contents.description.circuits))
    gone = ("circuits", name)
    written = edited(contents.description, [(gone, None), ((*gone, "join", 0), "lamp.1")])
    assert name not in written.circuits
    written = edited(contents.description, [((*gone, "join", 0), "lamp.1"), (gone, None)])
    assert name not in written.circuits
