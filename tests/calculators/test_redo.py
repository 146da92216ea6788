"""The sums that are printed, done again with the printed numbers."""

from __future__ import annotations

import math
import re
import shlex

import pytest

from buildbook.calculators.model import Step
from buildbook.calculators.reading import read_inputs
from buildbook.calculators.registry import CALCULATORS, calculator
from buildbook.commands.calc import joined

MORE = {
    "size": "--current 3 A --length 40 ft --bundle 20 --altitude 14000 ft --allow 0.5 V",
    "fuse": "--current 20 A --fuse bolted --inrush 300 A --inrush-time 1 s --size 10 mm2",
    "sensor": "--type volts --points 0 bar 0.5 V, 10 bar 4.5 V --of 5 V --at 60 psi",
    "slack": "--length 3 m --from ring-M8 --to cap --estimated 1 m --pair yes --moving 2 m",
    "charging": "--curve 1500 rpm 20 A, 3000 rpm 55 A --states 2000 rpm 60 A 90 % --stopped 1 A",
}
"""Beside each calculator's own example, another way through it."""
SENSORS = (
    "--type platinum --at -40 degC --pull-up 1 kohm",
    "--type ntc --points 0 degC 6 kohm, 90 degC 240 ohm --at 50 degC --pull-up 1 kohm",
    "--type current --points 0 bar 4 mA, 10 bar 20 mA --at 5 bar",
    "--type volts --points 0 % 0.5 V, 100 % 4.5 V --at 20 % --pull-up 10 kohm --lead 2 ohm",
    "--type sender --points 0 % 10 ohm, 100 % 180 ohm --at 30 % --pull-up 220 ohm",
    "--type hall --at off --pull-up 2.2 kohm",
)
WAYS = [
    *((name, calculator(name).example) for name in CALCULATORS),
    *MORE.items(),
    *(("sensor", words) for words in SENSORS),
]
NAMES = {"sqrt": math.sqrt, "ln": math.log, "exp": math.exp}


def worked(name: str, words: str) -> tuple[Step, ...]:
    split = list(joined(shlex.split(words)))
    texts = {o.removeprefix("--"): v for o, v in zip(split[::2], split[1::2], strict=True)}
    given, mistakes = read_inputs(calculator(name), texts)
    assert not mistakes
    return calculator(name).work({g.input.name: g.value for g in given}).steps


def redone(step: Step) -> float | None:
    """The sum with its numbers as printed; None where it is words, such as a table looked up."""
    numbers = [f"({number.value:.{number.digits}g})" for number in step.numbers]
    text = re.sub(r"(?<=\d) /?h\b", "", step.put_in.split(", at ")[0]).format(*numbers)
    text = re.sub(r"\|(.+?)\|", r"abs(\1)", text)
    if set(re.findall(r"[A-Za-z]+", re.sub(r"\de[-+]?\d", "", text))) - {"x", "abs", *NAMES}:
        return None
    return eval(
        text.replace(" x ", " * ").replace("^", "**"), {"__builtins__": {"abs": abs}}, NAMES
    )


@pytest.mark.parametrize(("name", "words"), WAYS, ids=[f"{n}-{i}" for i, (n, _) in enumerate(WAYS)])
def test_each_sum_comes_out_again_with_the_printed_numbers(name, words):
    done = 0
    for step in worked(name, words):
        found = redone(step)
        if found is None:
            continue
        limits = [float(n) for n in re.findall(r"at (?:most|least) ([\d.]+)", step.put_in)]
        if limits or ", at most {}" in step.put_in:
            continue
        assert found == pytest.approx(step.result.value, rel=0.004, abs=1e-9), step.what
        done += 1
    assert done


def test_most_steps_are_sums_that_a_reader_can_do():
    steps = [step for name, words in WAYS for step in worked(name, words)]
    sums = [step for step in steps if redone(step) is not None]
    assert len(sums) / len(steps) > 0.8
