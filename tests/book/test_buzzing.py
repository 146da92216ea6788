"""What hangs on a relay that buzzes is said not to be predicted, on every page that tells of it."""

from __future__ import annotations

import re

import pytest

from buildbook.book.chapters import powerup, supply, troubleshooting
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from tests.checks.rules.test_contact_unsettled import trailer_with_relay
from tests.conftest import result_of
from tests.once import undrawn


def made(tmp_path_factory, *circuits):
    folder = tmp_path_factory.mktemp("trailer")
    (folder / "vehicle.yaml").write_text(trailer_with_relay(*circuits), encoding="utf-8")
    return result_of(folder)


@pytest.fixture(scope="module")
def buzzing(tmp_path_factory):
    """Coil and lamp hang on the relay's own break contact."""
    return made(tmp_path_factory, "F1.out, K1.30", "K1.87a, lamp.1, K1.86")


@pytest.fixture(scope="module")
def resting(tmp_path_factory):
    """The coil is fed beside the contact, which so stays open."""
    return made(tmp_path_factory, "F1.out, K1.30, K1.86", "K1.87a, lamp.1")


def words(result, maker) -> str:
    (chapter,) = maker.chapters(result, undrawn(result))
    html = chapter_html(
        chapter, 1, (chapter,), result.vehicle.description.vehicle, PageMap(), result.vehicle.supply
    )
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())


def test_no_fault_is_said_to_do_anything_to_what_hangs_on_it(buzzing):
    effects = [e for found in buzzing.faultfinding.effects.values() for e in found]
    assert [e for e in effects if e.load == "lamp"] == []
    assert buzzing.faultfinding.unsure["lit"] >= {"lamp"}


def test_what_comes_to_rest_is_sure(resting, two_wire):
    assert resting.faultfinding.unsure == {} and two_wire.faultfinding.unsure == {}
    effects = [e for found in two_wire.faultfinding.effects.values() for e in found]
    assert {e.load for e in effects} == {"lamp"}


def test_troubleshooting_names_relay_state_and_what_hangs_on_it(buzzing, resting):
    said = words(buzzing, troubleshooting)
    assert "K1 buzzes in lit though nothing is broken" in said
    assert "not to be predicted there: Blinker, Work lamp." in said
    assert "buzzes" not in words(resting, troubleshooting)


def test_a_fault_that_shows_nothing_is_not_said_to_do_nothing_there(buzzing, resting):
    whys = [silent.why for silent in buzzing.faultfinding.unseen]
    assert whys and all("in lit is not to be predicted" in why for why in whys)
    assert not any("predicted" in silent.why for silent in resting.faultfinding.unseen)


def test_the_relay_table_says_that_it_buzzes_instead_of_no_state(buzzing, resting):
    assert re.search(r"K1 Blinker battery-box buzzes in lit", words(buzzing, supply))
    assert re.search(r"K1 Blinker battery-box lit", words(resting, supply))


def test_the_step_of_the_fuse_that_feeds_it_gives_no_figure_as_sure(buzzing, resting):
    said = "K1 buzzes: the figures of this line are not to be predicted"
    assert words(buzzing, powerup).count(said) == 1
    assert said not in words(resting, powerup)
