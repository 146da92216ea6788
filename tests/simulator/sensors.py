"""Sensors by their characteristics, each going to and fro between the ends of what is shown."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import numpy as np

from tests.simulator import sheets
from tests.simulator.deck import Deck
from tests.simulator.read import amount

Data = dict[str, Any]
HERTZ, PICK_UP_HERTZ = 50.0, 60.0
"""All go to and fro together, so that they cost the simulator few edges, but Hall pick-ups on their
own: else they would always be low with the others."""
KINDS = ("hall", "volts", "ohms", "ntc", "platinum", "current")
ZERO_C_K = 273.15


def kind_of(given: Data) -> str | None:
    """What a sensor gives, of what is modelled here; None for switches and coils."""
    return next((kind for kind in KINDS if kind in given), None)


def add_sensor(deck: Deck, name: str, pin: str, given: Data, needs_v: float) -> None:
    """A sensor between its pins; `needs_v` of a transmitter is what its sheet asks for."""
    signal, back = f"{name}.{pin}~", f"{name}.{given['return']}~" if "return" in given else ""
    kind = kind_of(given)
    swing = deck.to_and_fro(PICK_UP_HERTZ if kind == "hall" else HERTZ)
    across = deck.volts(signal, back)
    if kind == "current":
        low, high = ends(given, given["current"]["points"])
        now = f"({low:.9g}+{high - low:.9g}*{swing})"
        fed = deck.volts(back, signal)
        deck.flow(back, signal, f"{now}*min(max({fed}/{needs_v:.9g},0),1)")
    elif kind in ("ohms", "ntc", "platinum"):
        low, high = resistances(kind, given)
        deck.flow(signal, back, f"{across}/({low:.9g}+{high - low:.9g}*{swing})")
    elif kind == "hall":
        low_v = amount(given["hall"].get("low", sheets.COLLECTOR_V)) / 2
        supply = f"{name}.{given['supply']}~"
        fed = f"u({deck.volts(supply, back)}-3)"
        deck.flow(signal, back, f"({across}-{low_v:g})/{sheets.COLLECTOR_OHM:g}*{swing}*{fed}")
    else:
        _add_output(deck, name, (signal, back), given, swing)


def _add_output(deck: Deck, name: str, pins: tuple[str, str], given: Data, swing: str) -> None:
    """A voltage behind the ohms of its output, or of the wiper of its track."""
    output = given["volts"]
    low, high = ends(given, output["points"])
    ohms = max(amount(output.get("through", 0)), deck.sensor_ohm)
    volts, ohms_now = f"({low:.9g}+{high - low:.9g}*{swing})", f"{ohms:.9g}"
    awake = f"u({deck.volts(*pins)}-0.05)"
    if "of" in output:
        supply, of = deck.volts(f"{name}.{given['supply']}~", pins[1]), amount(output["of"])
        volts, awake = f"{volts}*{supply}/{of:g}", f"u({supply}-{of / 2:g})"
        if "track" in output:
            track = amount(output["track"])
            at_ends = [track * x / of * (1 - x / of) for x in (low, high)]
            ohms_now = f"({ohms + at_ends[0]:.9g}+{at_ends[1] - at_ends[0]:.9g}*{swing})"
    deck.flow(*pins, f"({deck.volts(*pins)}-{volts})/{ohms_now}*{awake}")


def ends(given: Data, points: list[Any]) -> tuple[float, float]:
    """Least and most that it gives over what is shown, straight between its points."""
    known = sorted((number(at), amount(gives)) for at, gives in points)
    places = [number(at) for at in given.get("show", [at for at, _ in points])]
    at, gives = zip(*known, strict=True)
    values = [float(_straight(x, at, gives)) for x in places]
    return min(values), max(values)


def _straight(x: float, at: tuple[float, ...], gives: tuple[float, ...]) -> float:
    """Between the points, and on past the last two."""
    if x <= at[-1]:
        return float(np.interp(x, at, gives))
    return gives[-1] + (gives[-1] - gives[-2]) * (x - at[-1]) / (at[-1] - at[-2])


def number(text: Any) -> float:
    """The bare number of a measured value, all of one sensor being in one unit."""
    found = re.match(r"[-+.\d]+", str(text))
    assert found, text
    return float(found[0])


def resistances(kind: str, given: Data) -> tuple[float, float]:
    """Least and most ohms over what is shown."""
    if kind == "ohms":
        return ends(given, given["ohms"]["points"])
    law = _platinum(given["platinum"]) if kind == "platinum" else _thermistor(given["ntc"])
    shown = given.get("show") or [at for at, _ in given["ntc"]["points"]]
    found = [law(number(at)) for at in shown]
    return min(found), max(found)


def _platinum(sheet: Data) -> Callable[[float], float]:
    """IEC 60751 above 0 degC: R = R0 (1 + A t + B t^2)."""
    ohms = amount(sheet.get("ohms", "100 ohm"))
    return lambda celsius: ohms * (1 + 3.9083e-3 * celsius - 5.775e-7 * celsius**2)


def _thermistor(sheet: Data) -> Callable[[float], float]:
    """By its B value, or by 1/T = A + B ln R + C (ln R)^3, whose root is a formula of Cardano's."""
    if "beta" in sheet:
        ohms, at_k = amount(sheet["ohms"]), number(sheet["at"]) + ZERO_C_K
        beta = number(sheet["beta"])
        return lambda celsius: ohms * math.exp(beta * (1 / (celsius + ZERO_C_K) - 1 / at_k))
    if "coefficients" in sheet:
        a, b, c = (float(x) for x in sheet["coefficients"])
    else:
        logs = [math.log(amount(ohms)) for _, ohms in sheet["points"]]
        inverse = [1 / (number(at) + ZERO_C_K) for at, _ in sheet["points"]]
        a, b, c = np.linalg.solve([[1, x, x**3] for x in logs], inverse)

    def ohms_at(celsius: float) -> float:
        half = (a - 1 / (celsius + ZERO_C_K)) / (2 * c)
        root = math.sqrt((b / (3 * c)) ** 3 + half**2)
        return math.exp(float(np.cbrt(root - half) - np.cbrt(root + half)))

    return ohms_at
