"""Every mistake in what a sensor gives has a message at its own line, with a reason or a hint."""

import pytest

from tests.vehicle.test_mistakes import GOOD, problems_of, write

SENSOR = "  sensor: {kind: sensor, at: engine, plug: two, senses: ntc}\n"
NTC = "ntc: {ohms: 2.5 kohm, beta: 3500 K}, show: [20 degC, 90 degC]"


def with_signal(text: str, more: str = "") -> str:
    """The good vehicle with what pin 1 of its sensor gives."""
    assert SENSOR in GOOD
    return GOOD.replace(SENSOR, SENSOR[:-2] + f", gives: {{1: {{{text}}}}}{more}}}\n")


def with_tracks(pair: str, second: str = "[[0 %, 4 V], [100 %, 1 V]]") -> str:
    """The good vehicle with a sensor of two tracks in a plug of six."""
    first = "[[0 %, 1 V], [100 %, 4 V]]"
    gives = ", ".join(
        f"{pin}: {{return: 3, volts: {{points: {points}}}}}"
        for pin, points in ((1, first), (2, second))
    )
    device = f"{{kind: sensor, at: engine, plug: six, gives: {{{gives}}}, pairs: {pair}}}"
    return GOOD.replace(SENSOR, SENSOR + f"  pedal: {device}\n")


GOOD_SIGNALS = {
    "beta": NTC,
    "two points": "ntc: {points: [[20 degC, 2.5 kohm], [90 degC, 245 ohm]]}",
    "three points": "ntc: {points: [[20 degC, 2.5 kohm], [50 degC, 834 ohm], [90 degC, 245 ohm]]}",
    "coefficients": "ntc: {coefficients: [1.129e-3, 2.341e-4, 8.77e-8]}, show: [68 degF]",
    "platinum": "platinum: {ohms: 1 kohm, class: AA}, show: [-50 degC]",
    "sender": "ohms: {points: [[0 %, 10 ohm], [100 %, 180 ohm]]}",
    "absolute volts": "volts: {points: [[0 bar, 0 V], [60 psi, 5 V]]}",
    "current": "current: {points: [[0 bar, 4 mA], [10 bar, 20 mA]]}",
    "hall": "hall: {}",
    "inductive": "inductive: {ohms: 860 ohm, volts: 1 V}, show: [300 rpm]",
    "switch": "switch: {closed: pressed, open: released}",
}


@pytest.mark.parametrize("text", GOOD_SIGNALS.values(), ids=GOOD_SIGNALS.keys())
def test_a_good_signal_has_no_problem(tmp_path, text):
    assert problems_of(write(tmp_path, with_signal(text))) == []


MISTAKES = {
    # name: (what pin 1 gives, part of the message, part of the hint)
    "nothing": ("show: [20 degC]", "gives nothing", "write one of: ntc, platinum"),
    "two things": (NTC + ", hall: {}", "gives `ntc` and `hall`", "keep one of"),
    "misspelt": ("ntcc: {ohms: 2 kohm}", "no setting `ntcc`", "did you mean `ntc`?"),
    "no curve": ("ntc: {ohms: 2 kohm}, show: [20 degC]", "given in no way", "`ohms` and `beta`"),
    "two curves": (
        "ntc: {ohms: 2 kohm, beta: 3500 K, points: [[0 degC, 5 kohm], [9 degC, 4 kohm]]}",
        "more than one way",
        "two or three `points`",
    ),
    "beta alone": ("ntc: {beta: 3500 K}, show: [20 degC]", "needs the `ohms`", "give `ohms`"),
    "beta without a unit": ("ntc: {ohms: 2 kohm, beta: 3500}", "the number 3500 has no unit", ""),
    "four points": (
        "ntc: {points: [[0 degC, 8 kohm], [20 degC, 4 kohm], [40 degC, 2 kohm], "
        "[60 degC, 1 kohm]]}",
        "4 points",
        "one at working temperature",
    ),
    "rising": (
        "ntc: {points: [[20 degC, 245 ohm], [90 degC, 2.5 kohm]]}",
        "do not fall",
        "exchange the ohms",
    ),
    "up and down": (
        "ntc: {points: [[20 degC, 2.5 kohm], [50 degC, 9 kohm], [90 degC, 245 ohm]]}",
        "do not fall",
        "check the order",
    ),
    "off the curve": (
        "ntc: {points: [[20 degC, 2.5 kohm], [50 degC, 1.9 kohm], [90 degC, 245 ohm]]}",
        "off the curve",
        "look them up",
    ),
    "zero ohms": (
        "ntc: {points: [[20 degC, 2.5 kohm], [90 degC, 0 ohm]]}",
        "`0 ohm` must be above zero",
        "90 ohm",
    ),
    "nonsense coefficients": (
        "ntc: {coefficients: [1, 2, 3]}, show: [20 degC]",
        "no thermistor's resistance",
        "A, B and C",
    ),
    "tiny coefficient": (
        "ntc: {coefficients: [0, 1e-9, 0]}, show: [20 degC]",
        "no thermistor's resistance",
        "A, B and C",
    ),
    "nothing to show": ("platinum: {}", "for which temperatures", "add `show"),
    "wrong unit": ("platinum: {}, show: [3 bar]", "`3 bar` does not suit", "write it in degC"),
    "too hot": ("platinum: {}, show: [900 degC]", "outside what the curve", "-200 and 850"),
    "too hot for an ntc": (NTC.replace("90", "400"), "outside what the curve", "300 degC"),
    "one point": ("volts: {points: [[0 bar, 1 V]]}", "at least two points", ""),
    "same place": ("volts: {points: [[0 bar, 1 V], [0 psi, 2 V]]}", "at the same place", ""),
    "mixed units": (
        "volts: {points: [[0 bar, 1 V], [9 degC, 2 V]]}",
        "not measure the same",
        "one unit",
    ),
    "unknown unit": ("volts: {points: [[0 barr, 1 V], [9 bar, 2 V]]}", "'barr' is not a unit", ""),
    "no supply": (
        "volts: {of: 5 V, points: [[0 bar, 1 V], [9 bar, 2 V]]}",
        "no pin gives it",
        "give `supply`",
    ),
    "unknown pin": (NTC + ", return: 7", "no pin `7` of `sensor`", ""),
    "against itself": (NTC + ", return: 1", "measured against itself", ""),
    "unknown state": (
        NTC + ", state: runing",
        "no operating state `runing`",
        "did you mean `running`?",
    ),
    "zero coil": ("inductive: {ohms: 0 ohm}", "`0 ohm` must be above zero", "90 ohm"),
    "two thermometers": ("platinum: {}, show: [0 degC], ntc: {}", "gives `ntc` and `platinum`", ""),
    "tolerance above all": (
        "inductive: {ohms: 9 ohm, tolerance: 120 %}",
        "more than is possible here: at most 99 %",
        "30 %",
    ),
}


@pytest.mark.parametrize(("text", "what", "hint"), MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_is_told_at_its_line(tmp_path, text, what, hint):
    written = with_signal(text)
    line = next(n for n, t in enumerate(written.splitlines(), 1) if "gives:" in t)
    problems = problems_of(write(tmp_path, written))
    found = [p for p in problems if what.replace("`", "") in p.what.replace("`", "")]
    assert found, [p.what for p in problems]
    assert all(p.where.line == line for p in found)
    assert any(hint in f"{p.hint}" for p in found), [p.hint for p in found]


def test_a_sensor_of_many_pins_must_say_what_it_is_measured_against(tmp_path):
    text = with_tracks("[]").replace("1: {return: 3, volts", "1: {volts")
    (problem,) = problems_of(write(tmp_path, text))
    assert "against which is pin `1` measured" in problem.what
    assert "give `return`" in problem.hint


PAIRS = {
    "unknown track": ("{tracks: [1, 9], sum: 5 V}", "no signal `9` of `pedal`"),
    "neither": ("{tracks: [1, 2]}", "needs either a `sum` or a `ratio`"),
    "both": ("{tracks: [1, 2], sum: 5 V, ratio: 2}", "needs either a `sum` or a `ratio`"),
    "no room": ("{tracks: [1, 2], sum: 5 V, within: 0 %}", "between 0 and 100 %"),
}


@pytest.mark.parametrize(("pair", "what"), PAIRS.values(), ids=PAIRS.keys())
def test_a_mistake_in_a_pair_is_told(tmp_path, pair, what):
    (problem,) = problems_of(write(tmp_path, with_tracks(pair)))
    assert what in problem.what
    assert problem.where.line


def test_tracks_of_a_pair_must_measure_the_same_thing(tmp_path):
    text = with_tracks("{tracks: [1, 2], sum: 5 V}", "[[0 bar, 4 V], [9 bar, 1 V]]")
    (problem,) = problems_of(write(tmp_path, text))
    assert "do not measure the same thing" in problem.what


def test_a_good_pair_has_no_problem(tmp_path):
    assert problems_of(write(tmp_path, with_tracks("{tracks: [1, 2], sum: 5 V}"))) == []
