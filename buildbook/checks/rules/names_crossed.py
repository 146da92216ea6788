"""Finds circuits that join what their names and uses say belongs apart."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.naming import words
from buildbook.checks.stages import Assessed
from buildbook.vehicle.model import Circuit, Pin
from buildbook.words.joined import few_of
from buildbook.words.say import say

RULE = "names-crossed"
SEVERITY = "warning"
SOURCE = f"{PRACTICE}: read each wire's two ends aloud; left goes to left and 2 to 2"
OPPOSITES = (
    ("left", "right"),
    ("front", "rear"),
    ("high", "low"),
    ("open", "close"),
    ("dipped", "main"),
    ("crank", "cam"),
    ("feed", "ground"),
    ("feed", "return"),
    ("supply", "ground"),
    ("supply", "return"),
    ("signal", "ground"),
    ("signal", "supply"),
    ("signal", "return"),
    ("trigger", "ground"),
    ("trigger", "feed"),
    ("tail", "brake"),
    ("coolant", "oil"),
    ("coolant", "air"),
    ("oil", "air"),
    ("oil", "fuel"),
    ("oil", "boost"),
    ("fuel", "boost"),
    ("throttle", "pedal"),
    ("side", "brake"),
    ("horn", "wiper"),
)
"""Pairs of words, of which an end has one and the other end the other."""
COUNTED = (
    "coil",
    "injector",
    "position",
    "knock",
    "cylinder",
    "track",
    "lamp",
    "fan",
    "pump",
    "output",
)
"""Words after which a number tells one from its twins."""

OF_A_COIL = ("signal", "relay control")
"""What a feed calls its circuits to its relay's coil, whatever switches that; no word of ours is
held against a pin."""
SIDES = frozenset({"left", "right", "front", "rear", "low"})
"""Words of a device's name that its pins are held to."""
SENSED = SIDES | {
    "air",
    "boost",
    "cam",
    "coolant",
    "crank",
    "fuel",
    "oil",
    "pedal",
    "throttle",
}
"""A sensor's pins are called alike on every sensor: what it measures is in its name."""


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare the circuit's name with each pin, and the two pins of a plain wire."""
    at: dict[str, str] = {}
    for circuit in assessed.vehicle.circuits.values():
        texts = {pin.id: _text(assessed, pin) for pin in circuit.pins}
        ends = {name: text for name, text in texts.items() if text}
        own, coils = _chosen(circuit), _coils(assessed, circuit)
        found = [
            (say("its name says '{own}' and {pin} is '{other}'", own=a, pin=pin, other=b), pin)
            for pin, text in ends.items()
            if pin not in coils
            for a, b in _crossed(own, text)
        ]
        if len(ends) == 2 == len(circuit.pins) and not found:
            (one, first), (other, second) = ends.items()
            found = [(_two(one, a, other, b), one) for a, b in _crossed(first, second)]
        if found:
            device, pin = found[0][1].partition(".")[0], found[0][1]
            told = at.get(device)
            at.setdefault(device, circuit.id)
            yield Finding(
                RULE,
                "warning",
                circuit.id,
                say(
                    "The circuit '{circuit}' may join the wrong pin: {why}.",
                    circuit=circuit.id,
                    why=few_of([what for what, _ in found]),
                ),
                _remedy(assessed, circuit, pin),
                SOURCE,
                circuit.where,
                follows=(RULE, told) if told else None,
            )


def _chosen(circuit: Circuit) -> tuple[str, ...]:
    """The words of a circuit's name, of one that a feed named to its coil those of the feed."""
    ours = circuit.id.removeprefix(circuit.feed).strip()
    return words(circuit.feed if circuit.feed and ours in OF_A_COIL else circuit.id)


def _coils(assessed: Assessed, circuit: Circuit) -> set[str]:
    """Relay coils in a circuit named by a feed: of those that share it, it names the first's."""
    devices = assessed.vehicle.devices
    relays = [p for p in circuit.pins if circuit.feed and devices[p.device].kind == "relay"]
    return {pin.id for pin in relays if pin.name in ("85", "86")}


def _remedy(assessed: Assessed, circuit: Circuit, pin: str) -> str:
    """Names the pin of the same device that the circuit's name would suit."""
    device = assessed.vehicle.devices[assessed.vehicle.pins[pin].device]
    own = _spread(words(circuit.id))
    joined = {p.id for p in circuit.pins}
    suits = [
        p.id
        for p in device.pins
        if p.id not in joined
        and p.use
        and not any(_crossed(words(circuit.id), words(p.use)))
        and own & _spread(words(p.use))
    ]
    if suits:
        return say(
            "Exchange {pin} and {other}, if their data sheets say so too. If the wire is right, "
            "correct the name of the circuit or the `use` of the pin.",
            pin=pin,
            other=suits[0],
        )
    return say(
        "Read both data sheets again. If the wire is right, correct the name of the circuit or the "
        "`use` of the pin."
    )


def _two(one: str, first: str, other: str, second: str) -> str:
    return say(
        "{one} is '{first}' and {other} is '{second}'",
        one=one,
        first=first,
        other=other,
        second=second,
    )


def _text(assessed: Assessed, pin: Pin) -> tuple[str, ...]:
    """What a pin and its device are called; a ground stud's, fuse's and stalk's place is no use."""
    device = assessed.vehicle.devices[pin.device]
    if device.kind in ("ground", "fuse", "panel", "battery", "pass-through", "isolator"):
        return ()
    if len(device.pins) > 6 or device.kind in ("switch", "controller"):
        return words(pin.use)
    tell_apart = SENSED if device.kind == "sensor" else SIDES
    sides = [w for w in words(device.title) if w in tell_apart]
    numbered = _numbers(words(device.title, device.id))
    return (*words(pin.use), *sides, *(word for pair in numbered for word in pair))


def _numbers(text: tuple[str, ...]) -> list[tuple[str, str]]:
    pairs = zip(text, text[1:], strict=False)
    return [(noun, number) for noun, number in pairs if noun in COUNTED and number.isdigit()]


def _crossed(one: tuple[str, ...], other: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Words of one that the other contradicts."""
    first, second = _spread(one), _spread(other)
    for a, b in (*OPPOSITES, *((b, a) for a, b in OPPOSITES)):
        if a in first and b in second and b not in first and a not in second:
            yield a, b
    numbers, others = dict(_numbers(one)), dict(_numbers(other))
    for noun, number in numbers.items():
        if noun in others and others[noun] != number:
            yield f"{noun} {number}", f"{noun} {others[noun]}"


def _spread(text: tuple[str, ...]) -> set[str]:
    """Words in the singular."""
    return {word.removesuffix("s") if len(word) > 4 else word for word in text}
