"""What was found beside a car, held against suspects whose readings are made by hand."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from buildbook.faultfinding.answers import Answer, fitting, yes
from buildbook.faultfinding.diagnosis import _is
from buildbook.faultfinding.model import Blown, Effect, Fault, Step

FAULTS = [
    Fault("open fuse:F1", "fuse", "fuse:F1", "F1 blown"),
    Fault("open wire:1", "wire", "wire:1", "wire 1 open"),
    Fault("stuck contact:K1.30-87", "contact", "contact:K1.30-87", "K1 sticks", mode="stuck"),
    Fault("short wire:2", "wire", "wire:2", "wire 2 on the body", mode="short"),
]
NODES = ("F1.in~", "F1.out~", "lamp.1")
VOLTS = np.array(
    [  # F1.in~, F1.out~, lamp.1, reference
        [12.0, 0.0, 0.0, 0.0],
        [12.0, 11.99, 0.0, 0.0],
        [12.0, 11.98, 6.0, 0.0],
        [12.0, 0.0, 6.4, 0.0],
    ]
)


class Asked:
    """What `fitting` asks of a sweep: four faults, three places, one state, one question."""

    def __init__(self) -> None:
        bond = SimpleNamespace(kind="fuse", from_pin="F1.in", to_pin="F1.out", ohms=0.005)
        bus = SimpleNamespace(kind="bus", from_pin="x.1", to_pin="x.2", ohms=1.0)
        self.vehicle = SimpleNamespace(devices={"F1": SimpleNamespace(bonds=(bus, bond))})
        blown = {"short wire:2": (Blown("F2", "on", 90.0), Blown("F1", "on", 80.0))}
        self.swept = SimpleNamespace(
            nodes=NODES, faulted={"on": VOLTS}, blown=blown, fuse_ohms={"F1": 0.01}
        )
        self.ends = {"on": (VOLTS, VOLTS + [[0, 0, 0.5, 0]])}

    def rows_of(self, faults):
        return [FAULTS.index(fault) for fault in faults]

    def about(self, faults, states):
        assert states == ["on"]
        places = [("K1", "on", "click"), ("can.1", "on", "bus ohms")]
        # No click, a click, perhaps one; 60 ohm, 120 ohm, 40 ohm, open, as powers of two.
        lowest = np.array([[0, np.log2(60)], [1, np.log2(120)], [0, np.log2(40)], [0, 20.0]])
        highest = np.array([[0, np.log2(60)], [1, np.log2(120)], [1, np.log2(40)], [1, 20.0]])
        rows = self.rows_of(faults)
        return SimpleNamespace(
            nodes=[0, 1], place=places.__getitem__, readings=lowest[rows], highest=highest[rows]
        )


def left(what, node, value, faults=FAULTS, effects=None):
    effects = effects or {fault.id: () for fault in FAULTS}
    found = fitting(Asked(), faults, effects, Answer(what, node, "on", value))
    return None if found is None else found.tolist()


@pytest.mark.parametrize(
    ("value", "fits"),
    [
        (0.0, [True, True, False, False]),
        (6.2, [False, False, True, True]),
        (1.6, [True, True, False, False]),
        (5.0, [False, False, True, False]),
        (5.3, [False, False, True, False]),
        (3.0, None),
        (8.0, [False, False, False, True]),
        (9.1, None),
    ],
)
def test_volts_leave_those_that_make_about_as_much(value, fits):
    """Two make 0 to 0.5 V, one 6 to 6.5, one 6.4 to 6.9: a quarter of a volt more than the nearest
    stays; 1 V and a tenth of the reading away from all of them is nobody's."""
    assert left("volts", "lamp.1", value) == fits


def test_amps_through_a_fuse_are_the_volts_across_it_over_its_ohms():
    """10 mV over 10 milliohm is 1 A, 20 mV 2 A; the blown one and the one that the short blows
    carry none. 0.5 A and three tenths of what is shown are forgiven."""
    assert left("amps", "F1", 2.0) == [False, True, True, False]
    assert left("amps", "F1", 0.1) == [True, False, False, True]
    assert left("amps", "F1", 1.0, FAULTS[:2]) == [False, True]
    assert left("amps", "F1", 9.0) is None


def test_a_look_leaves_those_that_do_nothing_to_what_works():
    dark = {fault.id: () for fault in FAULTS}
    dark["open wire:1"] = (Effect("lamp", "on", "dead", 0.0, 12.0),)
    dark["open fuse:F1"] = (Effect("lamp", "off", "dead", 0.0, 12.0),)
    dark["stuck contact:K1.30-87"] = (Effect("horn", "on", "dead", 0.0, 12.0),)
    assert left("look", "lamp", 1.0, effects=dark) == [True, False, True, True]
    assert left("look", "lamp", 0.0, effects=dark) == [False, True, False, False]
    assert left("look", "pump", 0.0, effects=dark) is None, "no suspect stops it"


def test_a_swap_that_cures_leaves_what_is_inside_the_part():
    assert left("swap", "F1", 1.0) == [True, False, False, False]
    assert left("swap", "F1", 0.0) == [False, True, True, True]
    assert left("swap", "K1", 1.0) == [False, False, True, False]
    assert left("swap", "K2", 1.0) is None


def test_a_click_leaves_those_that_may_click():
    assert left("click", "K1", 1.0) == [False, True, True, True]
    assert left("click", "K1", 0.0) == [True, False, True, True]
    assert left("click", "K1", 1.0, FAULTS[:1]) is None
    assert left("click", "K9", 1.0) == [True] * 4, "nobody can tell"


def test_ohms_across_a_bus_are_compared_by_octaves():
    """60, 120, 40 ohm, and open: 0.4 octaves beside the nearest stays, twice that is nobody's."""
    assert left("bus ohms", "can.1", 60) == [True, False, False, False]
    assert left("bus ohms", "can.1", 48) == [True, False, True, False], "an octave parts 40 and 80"
    assert left("bus ohms", "can.1", 200) == [False, True, False, False]
    assert left("bus ohms", "can.1", 220) is None
    assert left("bus ohms", "can.1", 0.0) is None
    assert left("bus ohms", "can.9", 60) == [True] * 4


def test_a_typed_yes_or_no():
    assert [yes(text) for text in ("y", " YES ", "n", "No", "maybe")] == [1.0, 1.0, 0.0, 0.0, None]


@pytest.mark.parametrize(
    ("wanted", "found", "one_purpose", "fits"),
    [
        ("dead", ["dead", "wrong reading"], False, True),
        ("dead", ["dead", ""], False, False),
        ("dead", ["dead", ""], True, True),
        ("dead", ["", "weak"], True, False),
        ("dead", [], False, False),
        ("weak", ["weak", ""], False, True),
        ("weak", ["wrong reading"], False, True),
        ("weak", ["dead"], False, False),
        ("stuck on", ["", "stuck on"], False, True),
        ("stuck on", ["weak"], False, False),
        ("wrong reading", ["dead"], False, False),
        ("works", ["", "stuck on"], False, True),
        ("works", ["", "weak"], False, False),
        ("works", ["wrong reading"], False, False),
    ],
)
def test_what_a_driver_calls_dead_weak_or_well(wanted, found, one_purpose, fits):
    assert _is(wanted, found, one_purpose) is fits


@pytest.mark.parametrize(
    ("step", "shown", "side"),
    [
        (Step("n", "on", 2.0, 12.0, ("low",), ("high",)), 6.9, "low"),
        (Step("n", "on", 2.0, 12.0, ("low",), ("high",)), 7.1, "high"),
        (Step("n", "on", 1.0, 10.0, ("low",), ("high",), what="ohms"), 3.1, "low"),
        (Step("n", "on", 1.0, 10.0, ("low",), ("high",), what="ohms"), 3.3, "high"),
        (Step("n", "on", 0.0, 10.0, ("low",), ("high",), what="bus ohms"), 0.0, "low"),
        # 0 to 5 V and 9 to 12: 7 V is as near to both ends, and nearer to 8 than to 5.
        (
            Step("n", "on", 4.0, 9.0, ("low",), ("high",), low_range=(0, 5), high_range=(9, 12)),
            7.0,
            "high",
        ),
        (
            Step("n", "on", 5.0, 12.0, ("low",), ("high",), low_range=(0, 5), high_range=(9, 12)),
            7.0,
            "low",
        ),
        (Step("n", "on", 0.0, 9.0, ("low",), ("high",), low_range=(0, 6)), 6.5, "low"),
        (Step("n", "on", 0.0, 9.0, ("low",), ("high",), high_range=(3, 12)), 2.0, "high"),
    ],
)
def test_a_reading_leads_to_the_nearer_suspects(step, shown, side):
    assert step.leads(shown) == (side,)
    assert step.by_meter
    assert not Step("lamp", "on", 0, 1, (), (), what="look").by_meter
