"""What is taken off first, where the black lead goes: as the post that is on the body has it."""

import re
from dataclasses import replace

import pytest

from buildbook.book.chapters import MAKERS
from buildbook.book.page_numbers import PageMap
from buildbook.book.templates import chapter_html
from tests.once import undrawn

WORDS = ("use", "powerup", "faces", "supply", "troubleshooting")


def texts(result, supply):
    """Words of the chapters that tell what to take off and where to hold the probes."""
    vehicle = result.vehicle.description.vehicle
    result = replace(result, vehicle=replace(result.vehicle, supply=supply))
    made = [c for make in MAKERS for c in make(result, undrawn(result)) if c.name in WORDS]
    assert {c.name for c in made} == set(WORDS)
    html = (chapter_html(c, 1, (c,), vehicle, PageMap(), supply) for c in made)
    return " ".join(re.sub(r"\s+", " ", re.sub(r"<[^>]*>", "", text)) for text in html)


@pytest.fixture(scope="module")
def negative(motorcycle):
    return texts(motorcycle, motorcycle.vehicle.supply)


@pytest.fixture(scope="module")
def positive(motorcycle):
    posts = motorcycle.vehicle.supply.posts
    turned = replace(
        motorcycle.vehicle.supply, earth="positive", earthed_pin=posts[0], live_pin=posts[1]
    )
    return texts(motorcycle, turned)


def test_with_the_minus_on_the_body_its_lead_comes_off_first(negative):
    assert "take its negative lead off" in negative
    assert "negative lead off first and on last" in negative
    assert "Black lead on the battery&#39;s negative post, everything" in negative
    assert "positive lead" not in negative


def test_with_the_plus_on_the_body_its_lead_comes_off_first(positive):
    """The lead of the live post first, a spanner to the frame is a dead short: never said."""
    assert "take its positive lead off" in positive
    assert "positive lead off first and on last: it is the earthed one" in positive
    assert "negative lead" not in positive
    assert "Red lead on the battery&#39;s positive post, which is earthed, black lead" in positive
    assert "Volts are against the battery&#39;s positive post, which is earthed" in positive


def test_apart_from_the_body_neither_lead_is_said_to_come_first(motorcycle):
    said = texts(motorcycle, replace(motorcycle.vehicle.supply, earth="none"))
    assert "one lead at a time" in said
    assert "lead off first" not in said


def test_of_two_in_series_the_earthed_one_is_named(motorcycle):
    supply = motorcycle.vehicle.supply
    upper = replace(supply.battery, id="upper", plus_pin="upper.+", minus_pin="upper.-")
    sources = (supply.battery, upper, *supply.generators)
    two = replace(supply, sources=sources, live_pin="upper.+", string=("upper", "battery"))
    said = texts(motorcycle, two)
    assert "Isolate every battery and take the negative lead of battery off" in said
    assert "the link is live while either is joined" in said
