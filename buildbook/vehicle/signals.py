"""What the sensors give on their pins, checked and joined to the pins around them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from buildbook.description import models as written
from buildbook.description.quantities import Measured, in_unit_of
from buildbook.vehicle.model import Pin, Signal
from buildbook.vehicle.scope import Path, Scope

LAWS = ("ntc", "platinum", "ohms", "volts", "current", "hall", "inductive", "switch")
"""Characteristics that a signal may have, as written."""
UNIT_OF_LAW = {"ntc": "degC", "platinum": "degC", "inductive": "rpm"}
"""What a characteristic that knows its own quantity is asked in."""
PLATINUM_C = (-200.0, 850.0)
"""Range of IEC 60751."""
NTC_C = (-55.0, 300.0)
"""Widest range of a thermistor that is sold (from memory)."""
WEAK_SENSING = frozenset({"inductive", "knock", "thermocouple"})
"""What a sensor senses by, whose signal is millivolts or has edges that a spark imitates."""
COEFFICIENTS = (5e-5, 1e-3, 1e-5)
"""Least and most of the second Steinhart-Hart coefficient, and most of the third: real parts lie
about 1.5e-4 to 4e-4, and below 5e-7 (from memory)."""


def law_of(signal: written.Signal) -> str:
    """Name of the one characteristic that a checked signal has."""
    return next(law for law in LAWS if getattr(signal, law) is not None)


def signals_of(scope: Scope, device_id: str, pins: tuple[Pin, ...]) -> tuple[Signal, ...]:
    """The signals of a device; what does not fit is noted and left out."""
    device = scope.description.devices[device_id]
    own = {pin.name: pin for pin in pins}
    found = []
    for name, signal in device.gives.items() if pins else ():
        path = ("devices", device_id, "gives", name)
        before = len(scope.problems)
        _check_law(scope, path, device_id, name, signal)
        ends = _ends(scope, path, device_id, name, signal, own)
        if signal.state is not None:
            scope.known((*path, "state"), "operating state", signal.state, scope.description.states)
        if ends and len(scope.problems) == before:
            found.append(Signal(device_id, *ends, signal))
    for index, pair in enumerate(device.pairs):
        _check_pair(scope, ("devices", device_id, "pairs", index), device_id, device, pair)
    return tuple(found)


def _ends(
    scope: Scope, path: Path, device: str, name: str, signal: written.Signal, own: dict[str, Pin]
) -> tuple[str, str, str] | None:
    """Ids of the signal's pin, the pin it is measured against, and its supply ('' for none)."""
    sort = f"pin of `{device}`"
    others = [pin.name for pin in own.values() if pin.name != name and not pin.unused]
    back = signal.return_ or (others[0] if len(others) == 1 else None)
    uses = [pin.use for pin in own.values() if pin.use]
    good = scope.known(path, sort, name, own, uses)
    if good and back is None:
        scope.say(
            path,
            f"`{device}` has {len(own)} pins; against which is pin `{name}` measured?",
            "a voltage is read between two pins",
            "give `return`, the pin of the sensor's ground",
        )
    if signal.return_ is not None:
        good &= scope.known((*path, "return"), sort, signal.return_, own, uses)
    if signal.supply is not None:
        good &= scope.known((*path, "supply"), sort, signal.supply, own, uses)
    elif signal.volts is not None and signal.volts.of is not None:
        scope.say(
            (*path, "volts"),
            f"pin `{name}` of `{device}` follows a supply, but no pin gives it",
            "its volts are a share of the supply at the sensor",
            "give `supply`, the pin that feeds the sensor, or leave `of` out",
        )
        return None
    if not good or back is None:
        return None
    if back == name:
        scope.say((*path, "return"), f"pin `{name}` of `{device}` is measured against itself")
        return None
    return own[name].id, own[back].id, own[signal.supply].id if signal.supply else ""


def _check_law(scope: Scope, path: Path, device: str, name: str, signal: written.Signal) -> None:
    """Exactly one characteristic, in order within itself, asked for values that suit it."""
    laws = [law for law in LAWS if getattr(signal, law) is not None]
    if len(laws) != 1:
        said = " and ".join(f"`{law}`" for law in laws) or "nothing"
        scope.say(
            path,
            f"pin `{name}` of `{device}` gives {said}; a pin has one characteristic",
            "",
            "keep one of: " + ", ".join(LAWS) if laws else "write one of: " + ", ".join(LAWS),
        )
        return
    law = laws[0]
    given = getattr(signal, law)
    if law == "ntc":
        _check_ntc(scope, (*path, "ntc"), given)
    points = list(getattr(given, "points", []))
    if law in ("ohms", "volts", "current") and _check_points(scope, (*path, law), points):
        _check_show(scope, path, signal.show, points[0][0])
    if law in UNIT_OF_LAW:
        _check_show(scope, path, signal.show, Measured(0.0, UNIT_OF_LAW[law]), law == "ntc")
    if law in ("ntc", "platinum") and not signal.show and not points:
        scope.say(
            path,
            f"for which temperatures should the book give the reading of `{device}`?",
            "",
            "add `show: [20 degC, 90 degC]`",
        )


def _check_ntc(scope: Scope, path: Path, ntc: written.Thermistor) -> None:
    ways = [ntc.beta is not None, bool(ntc.points), ntc.coefficients is not None]
    hint = "give `ohms` and `beta`, or two or three `points`, or three `coefficients`"
    if sum(ways) != 1:
        what = "no way" if not any(ways) else "more than one way"
        scope.say(path, f"the curve of the thermistor `{path[1]}` is given in {what}", "", hint)
        return
    if ntc.beta is not None and ntc.ohms is None:
        scope.say((*path, "beta"), "a `beta` needs the `ohms` at one temperature", "", hint)
    if ntc.points and not 2 <= len(ntc.points) <= 3:
        scope.say(
            (*path, "points"),
            f"{len(ntc.points)} points; a curve is drawn through two or three",
            "two give a B value, three the Steinhart-Hart equation",
            "take one cold, one at working temperature and one between",
        )
    elif ntc.points and not falls(ntc.points):
        scope.say(
            (*path, "points"),
            f"the points of `{path[1]}` do not fall: an NTC has less ohms the hotter it is",
            "the curve through them would be nonsense",
            "exchange the ohms of the points: the other way round they fall"
            if falls(_turned(ntc.points))
            else "check the order of degrees and ohms, and their decimal points",
        )
    elif len(ntc.points) == 3 and not _smooth(ntc.points):
        scope.say(
            (*path, "points"),
            f"one of the three points of `{path[1]}` is off the curve through the others",
            "the B value from the first to the second differs by more than a quarter from that "
            "of the second to the third",
            "look them up again",
        )
    if ntc.coefficients and not _sensible(ntc.coefficients):
        scope.say(
            (*path, "coefficients"),
            f"these coefficients of `{path[1]}` give no thermistor's resistance",
            f"between {NTC_C[0]:g} and {NTC_C[1]:g} degC it should lie between 0.01 ohm and 1 Gohm",
            "write A, B and C of 1/T = A + B ln R + C (ln R)³, R in ohms, in this order",
        )


def falls(points: Sequence[tuple[float, float]]) -> bool:
    """Whether each point further on lies lower: the hotter an NTC, the fewer its ohms."""
    return all(one[0] < two[0] and one[1] > two[1] for one, two in pairwise(sorted(points)))


def _turned(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The same temperatures with the ohms in reverse."""
    places = sorted(points)
    return [(celsius, ohms) for (celsius, _), (_, ohms) in zip(places, places[::-1], strict=True)]


def _smooth(points: Sequence[tuple[float, float]]) -> bool:
    """B values of neighbours agree within a quarter: a real thermistor's drift by a tenth."""
    known = [(1 / (celsius + 273.15), math.log(ohms)) for celsius, ohms in sorted(points)]
    one, two = ((b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(known))
    return 0.8 <= one / two <= 1.25


def _sensible(law: tuple[float, float, float]) -> bool:
    """Coefficients of the size that thermistors have, and 1/T at both ends of the range between
    what 10 mohm and 1 Gohm give."""
    a, b, c = law
    if not (COEFFICIENTS[0] <= b <= COEFFICIENTS[1] and 0 <= c <= COEFFICIENTS[2]):
        return False
    low, high = (a + b * math.log(ohms) + c * math.log(ohms) ** 3 for ohms in (0.01, 1e9))
    coldest, hottest = (1 / (celsius + 273.15) for celsius in NTC_C)
    return low <= hottest and high >= coldest


def _check_points(scope: Scope, path: Path, points: list[tuple[Measured, float]]) -> bool:
    """At least two points, of one kind of unit, each at a place of its own."""
    if len(points) < 2:
        scope.say((*path, "points"), f"the line of `{path[1]}` needs at least two points")
        return False
    try:
        places = [in_unit_of(at, points[0][0]) for at, _ in points]
    except ValueError as error:
        scope.say(
            (*path, "points"),
            f"the points of `{path[1]}` do not measure the same thing: {error}",
            "",
            "write all of them in one unit",
        )
        return False
    if len(set(places)) < len(places):
        scope.say((*path, "points"), f"two points of `{path[1]}` lie at the same place")
        return False
    return True


def _check_show(
    scope: Scope, path: Path, show: list[Measured], unit: Measured, ntc: bool = False
) -> None:
    for index, value in enumerate(show):
        try:
            given = in_unit_of(value, unit)
        except ValueError:
            scope.say(
                (*path, "show", index),
                f"`{value}` does not suit this sensor",
                "",
                f"write it in {unit.unit} or a unit like it",
            )
            continue
        low, high = NTC_C if ntc else PLATINUM_C
        if unit.unit == "degC" and not low <= given <= high:
            scope.say(
                (*path, "show", index),
                f"{value} is outside what the curve is known for",
                "",
                f"stay between {low:g} and {high:g} degC",
            )


def _check_pair(
    scope: Scope, path: Path, name: str, device: written.Device, pair: written.Pair
) -> None:
    """Both tracks give volts over the same travel; the pair states a sum or a ratio."""
    known = True
    for index, track in enumerate(pair.tracks):
        sort = f"signal of `{name}`"
        known &= scope.known((*path, "tracks", index), sort, track, device.gives)
    if (pair.sum is None) == (pair.ratio is None):
        scope.say(
            path,
            f"a pair of `{name}` needs either a `sum` or a `ratio`",
            "",
            "write what the two tracks add up to, or the first over the second",
        )
    if not 0 < pair.within < 1:
        scope.say((*path, "within"), "`within` lies between 0 and 100 %")
    if not known:
        return
    first, second = (device.gives[track].volts for track in pair.tracks)
    if first is None or second is None:
        scope.say(path, f"both tracks of a pair of `{name}` must give `volts`")
        return
    try:
        in_unit_of(second.points[0][0], first.points[0][0])
    except (ValueError, IndexError):
        scope.say(path, f"the tracks of `{name}` do not measure the same thing")
