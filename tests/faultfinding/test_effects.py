"""Dead, weak and stuck on, with volts made by hand."""

from __future__ import annotations

import numpy as np
import pytest

from buildbook.faultfinding.effects import SeenLoads, effects_in_state
from buildbook.faultfinding.model import Effect, Fault
from buildbook.faultfinding.symptom_titles import Names, made_different, slugs, symptom_title
from tests.checks import minimal as m

FAULT = Fault("open wire:101", "wire", "wire:101", "wire 101 open")


def seen_effect(healthy_v: float, volts: float, works_from_v: float = 0.0, fault=FAULT) -> list:
    load = m.load("lamp", "lamp.1", "lamp.2", 2.4, works_from_v=works_from_v)
    seen = SeenLoads((load,), np.array([0]), np.array([-1]), np.array([works_from_v]), {"lamp": 0})
    healthy, faulted = np.array([healthy_v, 0.0]), np.array([[volts, 0.0]])
    return [e.effect for e in effects_in_state("on", seen, healthy, faulted, [fault])[0]]


@pytest.mark.parametrize(
    ("healthy_v", "volts", "works_from_v", "effect"),
    [
        (12.0, 12.0, 0, []),
        (12.0, 10.3, 0, []),
        (12.0, 10.1, 0, ["weak"]),
        (12.0, 11.0, 11.5, ["weak"]),
        (12.0, 2.3, 0, ["dead"]),
        (0.0, 12.0, 6.0, ["stuck on"]),
        (0.0, 5.0, 6.0, []),
        (0.1, 0.0, 6.0, []),
    ],
)
def test_effect_of_a_voltage(healthy_v, volts, works_from_v, effect):
    assert seen_effect(healthy_v, volts, works_from_v) == effect


def test_a_load_open_inside_is_dead_with_full_voltage_on_it():
    own = Fault("open load:lamp", "load", "load:lamp", "lamp open")
    assert seen_effect(12.0, 12.4, fault=own) == ["dead"]


NAMES = Names(
    {"pump": "Fuel pump", "left.1": "Left lamp", "left.2": "Left lamp"},
    {"pump": "", "left.1": "dipped beam", "left.2": "main beam"},
)
WORKS = {load: frozenset({"on"}) for load in NAMES.device}


def title(*dead: str, state: str = "on", works=WORKS) -> str:
    return symptom_title([Effect(x, state, "dead", 0.0, 12.0) for x in dead], NAMES, works)


def test_titles_are_plain_words():
    assert title("pump") == "Fuel pump dead"
    assert title("left.1") == "Left lamp (dipped beam) dead"
    assert title("left.1", "left.2") == "Left lamp dead"
    assert title("pump", "left.1") == "Fuel pump and Left lamp (dipped beam) dead"
    assert title("pump", "left.1", "left.2") == "Nothing works"


def test_title_names_the_state_where_the_load_works_in_others():
    works = WORKS | {"pump": frozenset({"on", "cranking"})}
    assert title("pump", state="cranking", works=works) == "Fuel pump dead (cranking)"


def test_titles_and_ids_are_each_given_once():
    assert made_different(["A dead", "B dead", "A dead"]) == [
        "A dead, case 1",
        "B dead",
        "A dead, case 2",
    ]
    long = "x" * 60
    assert len(set(slugs([f"{long} one", f"{long} two"]))) == 2
