"""Batteries, generators and magnetos of a vehicle as cards of its deck."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tests.simulator import sheets
from tests.simulator.deck import Deck
from tests.simulator.read import amount

Data = dict[str, Any]


def all_of(written: Data, kind: str, several: str) -> Iterator[Data]:
    """Every source of a kind: the one of the simple form, and those by name."""
    supply = written["supply"]
    if kind in supply:
        yield supply[kind]
    yield from supply.get(several, {}).values()


def batteries(written: Data) -> list[Data]:
    return list(all_of(written, "battery", "batteries"))


def generators(written: Data) -> list[Data]:
    return [*all_of(written, "alternator", "alternators"), *dynamos(written)]


def dynamos(written: Data) -> list[Data]:
    return list(all_of(written, "dynamo", "dynamos"))


def earthed_post(written: Data) -> str:
    """The battery's post that a circuit joins to a ground point; the first minus where none is."""
    devices = written["devices"]
    posts = [post for battery in batteries(written) for post in battery["between"]]
    for circuit in written["circuits"].values():
        names = [str(name) for name in circuit["join"]]
        if any(devices[name.partition(".")[0]]["kind"] == "ground" for name in names):
            for post in posts:
                if post in names:
                    return str(post)
    return str(batteries(written)[0]["between"][1])


def add_supply(deck: Deck, written: Data, state: str) -> None:
    """Everything that gives current in a state."""
    charged_v = max((amount(g.get("volts", "14.2 V")) for g in generators(written)), default=0.0)
    every = batteries(written)
    whole_v = sum(amount(b.get("volts", "12.7 V")) for b in every)
    for battery in every:
        volts = amount(battery.get("volts", "12.7 V"))
        ohms = amount(battery.get("resistance", "8 mohm"))
        above = charged_v * volts / whole_v - volts
        charge_ohms = max(ohms, above / amount(battery.get("charge", "5 A")))
        deck.battery(*_inside(battery), volts, ohms, charge_ohms)
    for alternator in all_of(written, "alternator", "alternators"):
        _add_alternator(deck, written, alternator, state)
    for dynamo in dynamos(written):
        _add_dynamo(deck, written, dynamo, state)
    for magneto in all_of(written, "magneto", "magnetos"):
        volts = amount(magneto["volts"]) * _rpm(written, state) / amount(magneto["at"])
        deck.source(*_inside(magneto), volts, amount(magneto["resistance"]))


def _inside(source: Data) -> tuple[str, str]:
    plus, minus = source["between"]
    return f"{plus}~", f"{minus}~"


def _rpm(written: Data, state: str) -> float:
    return amount(written["states"][state].get("engine", "0 rpm"))


def _add_alternator(deck: Deck, written: Data, alternator: Data, state: str) -> None:
    limit_a = limit_of(written, alternator, state)
    if limit_a > 0:
        volts = amount(alternator.get("volts", "14.2 V"))
        ohms = amount(alternator.get("resistance", "10 mohm"))
        sense = f"{alternator['senses']}~" if "senses" in alternator else ""
        deck.limited(*_inside(alternator), volts, ohms, limit_a, sense)


def _add_dynamo(deck: Deck, written: Data, dynamo: Data, state: str) -> None:
    """An armature that conducts either way, and the cut-out between it and the battery."""
    plus, minus = _inside(dynamo)
    limit_a = limit_of(written, dynamo, state)
    volts = amount(dynamo["volts"]) if limit_a > 0 else 0.0
    ohms = amount(dynamo.get("resistance", "10 mohm"))
    given = f"({volts:.9g}-{deck.volts(plus, minus)})/{ohms:.9g}"
    deck.flow(minus, plus, f"min({given},{limit_a:.9g})")
    near, far = (f"{pin}~" for pin in dynamo["cut out"]["between"])
    live = dynamo["between"][1] in _joined_to(written, dynamo["cut out"]["between"][0])
    back = deck.volts(near, far) if live else deck.volts(far, near)
    closes_at = amount(dynamo["cut out"]["closes at"])
    opens = f"10*u({back}/{sheets.SWITCH_OHM}-{sheets.CUT_OUT_BACK_A})"
    asked = f"{deck.volts(plus, minus)}/{closes_at:.9g}-{opens}"
    deck.switch_by((near, far), asked, 1.0, -1.0, sheets.SWITCH_OHM)


def _joined_to(written: Data, pin: str) -> set[str]:
    return {
        str(name)
        for circuit in written["circuits"].values()
        if pin in circuit["join"]
        for name in circuit["join"]
    }


def limit_of(written: Data, generator: Data, state: str) -> float:
    """Most that a generator gives at the state's engine speed and where it sits, A."""
    rpm = _rpm(written, state)
    points = [(amount(r), amount(a)) for r, a in generator["curve"]]
    given = points[-1][1] if rpm > points[-1][0] else 0.0
    for (low, low_a), (high, high_a) in zip(points, points[1:], strict=False):
        if low <= rpm <= high:
            given = low_a + (high_a - low_a) * (rpm - low) / (high - low)
    hotter = _hottest_at(written, generator) - amount(generator.get("curve at", "25 degC"))
    return given * (1 - amount(generator.get("per kelvin", 0)) * max(0.0, hotter))


def _hottest_at(written: Data, generator: Data) -> float:
    """Hottest zone, degC, of the rope that reaches the generator."""
    device = generator["between"][0].partition(".")[0]
    point = written["devices"][device]["at"]
    zones = [
        run["zone"]
        for rope in written["rope"].values()
        for run in rope["runs"]
        if point in (run["from"], run["to"])
    ]
    return max((amount(written["zones"][z]["ambient"]) for z in zones), default=-273.15)
