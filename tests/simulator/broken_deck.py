"""A deck of a vehicle with one part broken: cards taken out or put in, by the nodes they join."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from buildbook.electrical.model import Branch
from buildbook.electrical.network import Element
from tests.simulator import sheets
from tests.simulator.deck import Deck
from tests.simulator.vehicle_deck import deck_of

TOUCH_OHM = 0.01
"""Bare copper chafed onto bright steel."""
ALWAYS_THERE = ("wire", "pin", "fuse", "ground", "bus")
"""Kinds of part that conduct in every state, so that their cards are in every deck."""


class NotInTheDeck(Exception):
    """The deck's model of the part is another than the package's: it has no such two nodes."""


def broken_deck(
    written: dict[str, Any],
    built: dict[str, Any],
    state: str,
    opened: Iterable[Element],
    touching: str = "",
) -> Deck:
    """The vehicle's deck without what is open, and with one wire on the body.

    A relay whose coil is open lets go of its contacts.
    """
    sensor_ohm = sheets.SHORTED_SENSOR_OHM if touching else sheets.SENSOR_OHM
    deck = deck_of(written, built, state, sensor_ohm)
    for element in opened:
        branch = element.branch
        if branch.kind == "wire":
            _open_wire(deck, [wire["id"] for wire in built["wires"]].index(branch.ref))
        elif not _part(deck, branch) and (
            branch.kind in ALWAYS_THERE or state in element.states and not element.control
        ):
            raise NotInTheDeck(branch.id)
        if branch.id.endswith(".coil"):
            _let_go(deck, branch)
    if touching:
        wire = next(w for w in built["wires"] if w["id"] == touching)
        deck.resistor(wire["from"], "chassis", TOUCH_OHM)
    return deck


def level_of_sensors(deck: Deck, high: bool) -> None:
    """At an operating point every sensor stands at one end of what is shown of it."""
    if high:
        started(deck, [card for card in deck.cards if _is_pulse(card) and _sensors(deck, card)])


def pulsers(deck: Deck) -> list[str]:
    """The cards of what pulses besides the sensors."""
    return [card for card in deck.cards if _is_pulse(card) and not _sensors(deck, card)]


def started(deck: Deck, pulses: Iterable[str]) -> None:
    """At an operating point these stand at one volt, not at none."""
    up = {*pulses}
    deck.cards = [c.replace("pulse(0 1 ", "pulse(1 1 ") if c in up else c for c in deck.cards]


def _is_pulse(card: str) -> bool:
    return " pulse(" in card


def _sensors(deck: Deck, card: str) -> bool:
    return f"V({card.split()[1]})" in deck.swings.values()


def _open_wire(deck: Deck, at: int) -> None:
    """The wires are the first cards of a deck, in their order."""
    kind, one, other, _ = deck.cards[at].split()
    deck.cards[at] = f"{kind} {one} {other} 1e12"


def _part(deck: Deck, branch: Branch) -> bool:
    """Takes out every card from one node to the other, or to a model's inner node on that way."""
    for end in (branch.a, branch.b):
        if end != deck.ground and end not in deck.numbers:
            raise NotInTheDeck(branch.id)
    a, b = deck.node(branch.a), deck.node(branch.b)
    joined = [{*card.split()[1:3]} if card[0] in "RBS" else set() for card in deck.cards]
    inner = {number for name, number in deck.numbers.items() if "!" in name}
    apart = [{a, b}, *({a, m} for m in inner if {m, b} in joined)]
    if branch.kind == "source":
        apart.append({a, deck.numbers.get(branch.a.replace("~", "!"), "")})
    deck.cards = [
        "*" if ends in apart else card for card, ends in zip(deck.cards, joined, strict=True)
    ]
    return any(ends in apart for ends in joined)


def _let_go(deck: Deck, coil: Branch) -> None:
    """What is worked by the coil's volts sees none."""
    across = f"(V({deck.node(coil.a)})-V({deck.node(coil.b)}))"
    back = f"(V({deck.node(coil.b)})-V({deck.node(coil.a)}))"
    deck.cards = [
        re.sub(r" V=.*$", " V=0", card) if across in card or back in card else card
        for card in deck.cards
    ]
