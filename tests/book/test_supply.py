"""The chapter on the supply: what its tables of fuses and relays name, and what they count."""

from __future__ import annotations

import pytest

from buildbook.book.chapters import supply
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from tests.once import undrawn


@pytest.fixture
def html(motorcycle) -> str:
    (chapter,) = supply.chapters(motorcycle, undrawn(motorcycle))
    vehicle = motorcycle.vehicle.description.vehicle
    return chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), motorcycle.vehicle.supply)


def test_a_relay_that_is_nearly_always_closed_names_where_it_is_open(motorcycle, html):
    flasher = supply.relay_row(motorcycle, motorcycle.vehicle.devices["flasher"])
    assert flasher.open == ["off"]
    assert "all except off" in html


def test_states_in_which_a_relay_is_open_do_not_read_as_those_where_it_is_closed(lapwing):
    """'all but off, ignition on' could be: all but off, and ignition on too."""
    (chapter,) = supply.chapters(lapwing, undrawn(lapwing))
    vehicle = lapwing.vehicle.description.vehicle
    html = chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), lapwing.vehicle.supply)
    assert "all except off, ignition on and cranking" in html


def test_a_relay_that_is_seldom_closed_names_where_it_is_closed(motorcycle, html):
    starts = supply.relay_row(motorcycle, motorcycle.vehicle.devices["start-relay"])
    assert (starts.closed, starts.open) == (["cranking"], [])
    assert "all except off, " not in html


def test_a_fuse_names_all_that_it_feeds_while_that_is_little(motorcycle):
    assert supply.fed(motorcycle, "F4").endswith("Rear right indicator, Horn")


def test_a_fuse_of_many_names_a_few_and_counts_the_others(motorcycle):
    """Twelve devices work through the main fuse: all of the motorcycle's that draw anything."""
    named = supply.fed(motorcycle, "F5")
    assert named == "Ignition controller, Front coil, Rear coil, Fuel pump and 8 more"
