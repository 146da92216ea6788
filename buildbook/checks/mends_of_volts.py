"""What mends batteries whose volts are not those that the vehicle is called by."""

from __future__ import annotations

from itertools import combinations
from math import fsum

from buildbook.description.edited import Edit
from buildbook.vehicle.model import Vehicle
from buildbook.vehicle.power_model import PowerSource
from buildbook.vehicle.supply import entries
from buildbook.words.say import say

NOMINAL = (0.9, 1.25)
"""Volts at rest of the batteries between the posts, of the vehicle's nominal volts."""
USUAL_NOMINAL_V = (6.0, 12.0, 24.0, 36.0, 48.0)


def nominal_mended(vehicle: Vehicle, rest_v: float) -> tuple[str, tuple[Edit, ...]]:
    """What makes nominal volts and batteries agree, the likeliest slip first, and how to write it.

    A decimal point in a battery's volts; batteries side by side that make it in series; else
    the nominal volts.
    """
    nominal_v = vehicle.description.vehicle.nominal
    batteries = vehicle.supply.batteries
    for source in (s for s in batteries if s.id in vehicle.supply.string):
        for factor in (10.0, 0.1):
            slipped_v = volts_of(source) * factor
            if agree(rest_v - volts_of(source) + slipped_v, nominal_v):
                return (
                    say(
                        "Correct `volts` of {source}: perhaps {volts:g} V, and the decimal point "
                        "slipped; or correct `nominal`.",
                        source=source.id,
                        volts=slipped_v,
                    ),
                    tuple(
                        (("supply", *path[1:], "volts"), slipped_v)
                        for _, name, path, _ in entries(vehicle.description.supply)
                        if name == source.id
                    ),
                )
    if agree(fsum(volts_of(s) for s in batteries), nominal_v):
        below, above = batteries[0], batteries[-1]
        return (
            say(
                "Join the batteries in series: {minus} to {plus} and to nothing else, and {feed} "
                "alone to the feed; or correct `nominal`.",
                minus=above.minus_pin,
                plus=below.plus_pin,
                feed=above.plus_pin,
            ),
            _in_series(vehicle, below, above),
        )
    likely_v = next((v for v in USUAL_NOMINAL_V if agree(rest_v, v)), None)
    if likely_v is None:
        return (
            say(
                "Correct `nominal`, or the `volts` of the battery; batteries in series are joined "
                "plus to minus."
            ),
            (),
        )
    return (
        say(
            "Correct `nominal`, which these batteries make {volts:g} V, or the `volts` of the "
            "battery; batteries in series are joined plus to minus.",
            volts=likely_v,
        ),
        ((("vehicle", "nominal"), likely_v),),
    )


def opposed(vehicle: Vehicle) -> tuple[PowerSource, PowerSource] | None:
    """Two batteries joined plus to plus or minus to minus, and not with their other posts."""
    for one, other in combinations(vehicle.supply.batteries, 2):
        plus = _meet(vehicle, one.plus_pin, other.plus_pin)
        if plus != _meet(vehicle, one.minus_pin, other.minus_pin):
            inside = vehicle.supply.string
            return (one, other) if one.id in inside or other.id not in inside else (other, one)
    return None


def _meet(vehicle: Vehicle, one: str, other: str) -> bool:
    return any({one, other} <= {p.id for p in c.pins} for c in vehicle.circuits.values())


def turned(vehicle: Vehicle, source: PowerSource) -> tuple[str, tuple[Edit, ...]]:
    """Its two posts exchanged in what joins them."""
    other = {source.plus_pin: source.minus_pin, source.minus_pin: source.plus_pin}
    edits = tuple(
        (("circuits", name, "join"), [other.get(pin.id, pin.id) for pin in circuit.pins])
        for name, circuit in vehicle.circuits.items()
        if {pin.id for pin in circuit.pins} & set(other)
    )
    return (
        say(
            "Exchange {plus} and {minus}: batteries in series are joined plus to minus.",
            plus=source.plus_pin,
            minus=source.minus_pin,
        ),
        edits,
    )


def agree(rest_v: float, nominal_v: float) -> bool:
    """Whether batteries at rest have the volts that a vehicle is called by."""
    return NOMINAL[0] <= rest_v / nominal_v <= NOMINAL[1]


def _in_series(vehicle: Vehicle, below: PowerSource, above: PowerSource) -> tuple[Edit, ...]:
    """Two batteries side by side made one above the other; () where a post is left with none."""
    edits: list[Edit] = []
    for name, circuit in vehicle.circuits.items():
        join = [pin.id for pin in circuit.pins]
        if below.plus_pin in join and above.plus_pin in join:
            left = [below.plus_pin, above.minus_pin]
            feeds = [p for p in join if p not in (below.plus_pin, above.plus_pin)]
            if feeds:  # what the two fed together the upper one feeds alone
                new = circuit.written.model_copy(update={"join": [above.plus_pin, *feeds]})
                edits.append((("circuits", f"{name} in series"), new))
        elif above.minus_pin in join:
            left = [p for p in join if p != above.minus_pin]
        else:
            continue
        edits.append(
            (("circuits", name, "join"), left) if len(left) > 1 else (("circuits", name), None)
        )
    return tuple(edits)


def volts_of(source: PowerSource) -> float:
    """Volts of a source as it is written; 0 where it says none."""
    return float(getattr(source.written, "volts", 0.0))
