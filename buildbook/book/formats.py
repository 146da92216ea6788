"""Numbers with their units as the book prints them: the filters of the templates."""

from __future__ import annotations

import math
import re
from decimal import Decimal

from buildbook.electrical.conditions import condition_words
from buildbook.electrical.ohmmeter import OPEN_OHMS
from buildbook.electrical.reading import Kind, Reading
from buildbook.electrical.span import Span
from buildbook.words.say import in_figures, mark, say

UNMEASURED: dict[Kind, str] = {
    "floating": mark("floats"),
    "alternating": mark("AC"),
    "unsettled": mark("unsure"),
}
"""What is printed in place of volts, once said."""
JOINED: dict[Kind, str] = {
    "levels": mark("{low} or {high} V"),
    "between": mark("{low} to {high} V"),
}
"""What is printed of two values where there is room, once said."""
POINT = re.compile(r"(?<=\d)\.(?=\d)")
STATUS = (mark("spare"), mark("future"))
"""What a circuit is that is not in use."""


def number(value: float | None, digits: int = 2) -> str:
    """A number with at most `digits` decimals and a true minus; '–' for None."""
    if value is None:
        return "–"
    text = f"{value:.{digits}f}"
    if float(text) == 0:
        text = text.lstrip("-")
    return in_figures(text.replace("-", "−"))


def in_style(value: float) -> str:
    """A number as style sheets take it, in every language."""
    return f"{value:.2f}"


def ranging(low: str, high: str) -> str:
    """From one printed value to another, in few letters: '0.3–3.5', '−2.0 to −0.9'.

    Beside a minus a dash reads as another one.
    """
    if "−" in (low + high):
        return say("{low} to {high}", low=low, high=high)
    return f"{low}–{high}"


def amps(value: float | None) -> str:
    """Current: mA below 0.1 A, µA below 0.1 mA; none below half a microampere."""
    if value is None:
        return "–"
    if abs(value) < 5e-7:
        return f"{number(0)} A"
    if abs(value) < 0.0000995:
        return f"{number(value * 1e6, 0)} µA"
    if abs(value) < 0.0995:
        return f"{number(value * 1000, 0 if abs(value) >= 0.01 else 1)} mA"
    return f"{number(value, 2 if abs(value) < 9.995 else 1)} A"


def plain(value: float) -> str:
    """A rating as the trade writes it: 7.5, 10."""
    return in_figures(f"{value:g}")


def volts(value: float | None, digits: int = 2) -> str:
    return "–" if value is None else f"{number(value, digits)} V"


def share(value: float | Decimal) -> str:
    """A share in percent, without zeros at its end: '1.5 %'."""
    return f"{in_figures(f'{round(float(value) * 100, 2):g}')} %"


def sentence(text: str) -> str:
    """An author's words with a full stop, where they end without one and more text follows."""
    return text if not text or text.endswith((".", "!", "?", ":")) else f"{text}."


def percent(value: float) -> str:
    """A share in whole percent, with the sign close to it: '12%'."""
    return f"{number(value * 100, 0)}%"


def milli(value: float, digits: int = 0) -> str:
    """A value in thousandths of its unit, without the unit: volts as millivolts."""
    return number(value * 1000, digits)


def exact_amps(value: float) -> str:
    """Amps without the unit, so finely that sums with them come out: '0.125', '12.50'."""
    return number(value, 3 if value < 10 else 2)


def exact_milliohms(value: float) -> str:
    """Ohms as milliohms without the unit, so finely that sums with them come out."""
    return milli(value, 3 if value < 0.002 else 2)


def seconds(value: float) -> str:
    """A time that a fuse takes: '0.0250 s', '12 s'; '∞' for one that may last for ever."""
    if value > 1e5:
        return "∞"
    return f"{number(value, 0 if value >= 10 else 2 if value >= 0.1 else 4)} s"


def stated_time(value: float) -> str:
    """A time as sheets state it: '2 s', '500 ms'."""
    return f"{plain(value)} s" if value >= 1 else f"{plain(value * 1000)} ms"


def amps_shown(value: float) -> str:
    """Current as a meter in the vehicle shows it: '0' for less than half a milliamp."""
    return amps(value) if value >= 0.0005 else "0"


def volts_or_millivolts(value: float) -> str:
    """Volts from one volt on, whole millivolts below."""
    return volts(value) if value >= 1.0 else f"{milli(value)} mV"


def rough_hours(value: float) -> str:
    """Hours of work: to a tenth, whole from where that says more than is known."""
    return number(value, 0 if value >= 9.5 else 1)


def ohms(value: float, digits: int = 3) -> str:
    """Resistance with its unit, to so many significant digits: '2.50 kΩ'."""
    return f"{_scaled(value, value, digits)} {_ohm_unit(value)}"


def ohms_or_open(value: float, digits: int = 3) -> str:
    """What an ohmmeter shows: resistance with its unit, or 'open'."""
    return say("open", context="ohms") if value >= OPEN_OHMS else ohms(value, digits)


def ohms_nominal(span: Span | None) -> str:
    """The nominal resistance, as finely as its range needs; '–' for None."""
    return "–" if span is None else ohms(span.nominal, _digits(span))


def ohms_range(span: Span | None) -> str:
    """'2.38 to 2.63 kΩ', both in the unit of the upper; '–' for None."""
    if span is None:
        return "–"
    digits = _digits(span)
    low, high = _scaled(span.low, span.high, digits), ohms(span.high, digits)
    return say("{low} to {high}", low=low, high=high)


def _digits(span: Span) -> int:
    """Three significant digits, or four where the ends lie within two hundredths."""
    return 3 if span.high - span.low > 0.02 * span.high else 4


def _ohm_unit(value: float) -> str:
    return "MΩ" if value >= 999500 else "kΩ" if value >= 999.5 else "Ω"


def _scaled(value: float, like: float, digits: int) -> str:
    scaled = value / {"MΩ": 1e6, "kΩ": 1e3, "Ω": 1.0}[_ohm_unit(like)]
    whole = len(str(int(float(f"{abs(scaled):.{digits}g}"))))
    return number(scaled, max(0, digits - whole))


def volts_range(span: Span | None) -> str:
    """'2.41 to 2.61 V', one value where both ends print the same; '–' for None."""
    if span is None:
        return "–"
    low, high = number(span.low), number(span.high)
    return f"{low} V" if low == high else say("{low} to {high} V", low=low, high=high)


def reading(value: Reading | None, digits: int = 2) -> str:
    """A reading with its unit: '12.62 V', '0.2 or 5.0 V', '0.3 to 3.5 V', 'floats'; '–' for None.

    Of a pulse the mean, which a meter shows, and between what it swings: '7.47 V average (0.1 to
    13.3)'.
    """
    if value is not None and value.rms_v is not None:
        return f"{volts(value.rms_v, digits)} {say('AC')}"
    if value is None or value.kind in UNMEASURED:
        return short_reading(value)
    settled = volts(value.volts.nominal, digits) if value.volts else ""
    low, *rest = level_words(value) or [""]
    if value.kind == "average":
        swing = say("{low} to {high}", low=low, high=rest[0]) if rest else low
        return say("{volts} average ({swing})", volts=settled, swing=swing)
    if value.kind in JOINED:
        return say(JOINED[value.kind], low=low, high=rest[0]) if rest else f"{low} V"
    return settled


def brief_reading(value: Reading | None, digits: int = 1) -> str:
    """A short reading with its unit: '12.6 V', '0.3–3.5 V', 'floats'."""
    if value is not None and value.rms_v is not None:
        return f"{volts(value.rms_v, digits)} {say('AC')}"
    text = short_reading(value, digits)
    return text if value is None or value.kind in UNMEASURED else f"{text} V"


def short_reading(value: Reading | None, digits: int = 2) -> str:
    """A reading for a narrow column of volts: '12.62', '0.2|5.0', '0.3–3.5', '7.5 av. 0–13'."""
    if value is None:
        return "–"
    if value.rms_v is not None:
        return f"{number(value.rms_v, digits)} {say('AC')}"
    if value.kind in UNMEASURED:
        return say(UNMEASURED[value.kind])
    if value.kind == "levels":
        return "|".join(level_words(value))
    if value.kind == "between":
        return _range(value)
    settled = value.volts.nominal if value.volts else None
    if value.kind == "average":
        return f"{number(settled, 1)} {say('av.', context='average')} {_range(value, 0)}"
    return number(settled, digits)


def reading_parts(reading: str) -> tuple[str, ...]:
    """What of a short reading may stand below each other: a mean of pulses, and their swing."""
    mean, average, swing = reading.partition(f" {say('av.', context='average')} ")
    return (f"{mean}{average.rstrip()}", swing) if average else (mean,)


def _range(value: Reading, digits: int = 1) -> str:
    """The ends of a swing, in few letters; one value where both print the same."""
    low, *high = level_words(value, digits)
    return ranging(low, *high) if high else low


def level_words(value: Reading, digits: int = 1) -> list[str]:
    """Two levels, or the ends of a swing; once where both print the same."""
    ends = (number(span.nominal, digits) for span in (value.low, value.high) if span)
    return list(dict.fromkeys(ends))


def millivolt_reading(value: Reading | None) -> str:
    """A steady reading in whole millivolts, without the unit."""
    if value is None or value.kind != "steady" or value.volts is None:
        return reading(value)
    return milli(value.volts.nominal)


def unit_words(text: str) -> str:
    """A measured value as the book prints it: '-20 degC' as '−20 °C', '4.5 V' as '4,5 V'."""
    said = condition_words(text)
    shown = POINT.sub(in_figures("."), said).replace(" rpm", f" {say('rpm')}")
    shown = shown.replace(" degC", " °C").replace(" degF", " °F")
    return shown.replace("-", "−", 1) if shown.startswith("-") else shown


def hours(value: float | None) -> str:
    """A time as one would say it: '45 min', '3 h 20 min', '80 days'; '–' for None.

    After two years a battery has emptied itself.
    """
    if value is None or math.isinf(value):
        return "–"
    minutes = round(value * 60)
    if minutes < 10:
        return f"{number(value * 60, 1)} min"
    if minutes < 60:
        return f"{minutes} min"
    if value < 10:
        return f"{minutes // 60} h {minutes % 60} min"
    if value > 2 * 365 * 24:
        return say("over 2 years")
    return f"{number(value, 0)} h" if value < 48 else say("{n} days", n=number(value / 24, 0))


def money(value: Decimal | None) -> str:
    return say("missing") if value is None else in_figures(f"{value:.2f}")
