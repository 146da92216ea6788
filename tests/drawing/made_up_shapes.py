"""Shapes of the vehicles that are made up: what each is like, and what is hard to draw in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Shape:
    """What a made-up vehicle is like."""

    name: str
    loads: int = 8
    systems: int = 2
    harnesses: int = 1
    relays: float = 0.3
    """Share of the loads that a relay feeds; of the rest some have a switch."""
    shared: float = 0.3
    """Share of the loads that share a feed or a return with the one before."""
    sensors: int = 0
    pins: int = 0
    """Of the controller; 0 for none. Loads and sensors are wired to it until it is full."""
    cables: int = 0
    """Screened sensors, and with any of them a twisted pair to a display."""
    words: Callable[[str, int], str] = lambda what, n: f"{what}-{n}"
    """A device's name from its kind and number."""
    uses: tuple[str, str] = ()
    """Names of a load's two pins, which then has no plug."""
    title: str = ""
    """Put behind every title."""


LONG = "behind-the-second-bulkhead-left-of-the-transmission-tunnel"


LONG_TITLE = ("of the Second Auxiliary Circuit " * 8)[:185]
"""As long as a title may be behind a kind and a number: 200 letters."""


def long_words(what: str, n: int) -> str:
    """As long as a join lets a device's name be: 60 letters with the pin's."""
    return f"{what}-{n}-{LONG}"[:53] + f"-{n}"


def alike_words(what: str, n: int) -> str:
    """Names that differ at their end only."""
    return f"behind-the-second-bulkhead-on-the-right-{what}-{n}"


def one_long_word(what: str, n: int) -> str:
    """A name without a place to break it."""
    return f"{what}{n}" + "withoutanyplacewhereitmightbebroken"


SHAPES = (
    Shape("one load", loads=1, systems=1, relays=0, shared=0),
    Shape("one relay", loads=1, systems=1, relays=1, shared=0),
    Shape("a system each", loads=6, systems=6),
    Shape("relays", loads=7, systems=2, relays=1, shared=0),
    Shape("all shared", loads=10, systems=1, relays=0, shared=0.95),
    Shape("relays shared", loads=7, systems=1, relays=1, shared=0.7),
    Shape("two harnesses", loads=8, systems=2, harnesses=2),
    Shape("four harnesses", loads=12, systems=3, harnesses=4),
    Shape("sensors", loads=2, systems=2, sensors=6, pins=20),
    Shape("many sensors", loads=0, systems=2, sensors=10, pins=30, harnesses=2),
    Shape("screened", loads=2, systems=2, cables=4, pins=30),
    Shape("screened far away", loads=3, systems=1, cables=3, pins=24, harnesses=3),
    Shape("small controller", loads=8, systems=2, pins=12),
    Shape("controller of 40 pins", loads=8, systems=2, pins=40, sensors=10, cables=3, harnesses=2),
    Shape("controller of 80 pins", loads=14, systems=1, relays=0, shared=0.6, pins=80, sensors=56),
    Shape("long names", loads=6, systems=2, words=long_words),
    Shape(
        "long pins",
        loads=6,
        systems=2,
        uses=("supply from the ignition switched bus", "supply returned to the stud behind it"),
    ),
    Shape(
        "pins alike",
        loads=5,
        systems=1,
        uses=("supply from the ignition switched bus 1", "supply from the ignition switched bus 2"),
    ),
    Shape("names alike", loads=6, systems=1, sensors=3, pins=16, words=alike_words),
    Shape("long titles", loads=6, systems=2, title=LONG_TITLE),
    Shape(
        "long names everywhere",
        loads=10,
        systems=2,
        sensors=4,
        cables=2,
        pins=24,
        harnesses=2,
        words=long_words,
        title=LONG_TITLE,
    ),
    Shape(
        "long words",
        loads=6,
        systems=2,
        sensors=3,
        pins=16,
        words=one_long_word,
        title="Unterbrechungsfreistromversorgung" * 3,
    ),
    Shape("a system of 60", loads=40, systems=1, relays=0.25, shared=0.3),
    Shape("all shared in two harnesses", loads=20, systems=1, relays=0, shared=0.8, harnesses=2),
    Shape("four systems", loads=18, systems=4, relays=0.4, harnesses=2),
    Shape("six systems", loads=20, systems=6, sensors=5, pins=40, harnesses=3),
    Shape("300 circuits", loads=104, systems=8, sensors=12, cables=3, pins=80, harnesses=2),
    Shape("screened pairs only", loads=0, systems=1, cables=5, pins=26),
    Shape(
        "umlauts",
        loads=4,
        systems=2,
        words=lambda what, n: f"Kühlmittelpümpchen-{what}-{n}",
        title="Größe Ö",
    ),
    Shape(
        "mixed",
        loads=14,
        systems=3,
        relays=0.5,
        shared=0.5,
        sensors=5,
        cables=1,
        pins=32,
        harnesses=3,
    ),
)
