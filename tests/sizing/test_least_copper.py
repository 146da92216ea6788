"""Sizes of twenty made-up cars against the least copper that an integer programme finds."""

import random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from buildbook.sizing.choose import choose
from buildbook.sizing.heat_balance import resistance_ratio
from buildbook.sizing.installation import installations
from buildbook.sizing.least_copper import Stretch, Way, least_copper
from buildbook.sizing.load_paths import load_paths
from buildbook.sizing.resistance import joints_ohm
from tests.sizing.small import trailer, written


def car(seed):
    """A trailer with more lamps along its rope: some share a feed, some a return, some both."""
    dice = random.Random(seed)
    told = trailer(amps=dice.uniform(1, 5), length_m=dice.uniform(1, 4))
    told["vehicle"]["drop"] = dice.choice(["5.5 %", "7 %", "9 %"])
    for n in range(dice.randint(3, 7)):
        amps = f"{dice.uniform(0.5, 4):.2f} A"
        name = f"beside-{n}"
        told["devices"][name] = told["devices"]["lamp"] | {"draws": {"amps": amps, "in": ["lit"]}}
        shares_feed, shares_return = dice.random() < 0.5, dice.random() < 0.5
        if shares_feed:
            told["circuits"]["lamp feed"] = {
                **told["circuits"]["lamp feed"],
                "join": [*told["circuits"]["lamp feed"]["join"], f"{name}.1"],
            }
        else:
            fuse = f"F{n + 2}"
            told["devices"][fuse] = told["devices"]["F1"] | {"slot": n + 2}
            told["circuits"][f"{name} feed"] = {
                "join": [f"{fuse}.out", f"{name}.1"],
                "system": "lighting",
            }
        if shares_return:
            told["circuits"]["lamp return"] = {
                **told["circuits"]["lamp return"],
                "join": [*told["circuits"]["lamp return"]["join"], f"{name}.2"],
            }
        else:
            told["circuits"][f"{name} return"] = {"join": [f"{name}.2", "G1"], "system": "lighting"}
    for device in told["devices"].values():
        if device.get("kind") == "lamp":  # the programme takes currents that no size alters
            device["draws"] = device["draws"] | {"like": "resistor"}
    return written(told)


def programme(vehicle, harness, sizing, solved):
    """Least copper in mm2 m of any sizes with which the same ways are kept, by HiGHS.

    Written from the description's limits anew: sizes from the thinnest that heat, fuse, terminal
    and the smallest allowed ask for, to the thickest that the contacts take.
    """
    places = installations(vehicle, harness)
    rows, columns = [], []
    for wire, sized in sizing.wires.items():
        place = places[wire]
        asked = {
            r.needs for r in sized.limits if r.name in ("heat", "fuse", "terminal", "smallest")
        }
        labels = [c.label for c in place.candidates]
        least = max(labels.index(label) for label in asked if label)
        columns += [
            (wire, c.conductor)
            for c in place.candidates[least:]
            if c.area_mm2 <= place.most_mm2 + 1e-9 or c is place.candidates[least]
        ]
    wires = list(sizing.wires)
    for path in load_paths(vehicle, solved.heating):
        solution = solved.heating[path.state]
        other_v = sum(
            abs(solution.current_a[b.id]) * b.ohms for b in path.counted if b.kind != "wire"
        )
        through = {b.ref: abs(solution.current_a[b.id]) for b in path.counted if b.kind == "wire"}
        joints_v = sum(a * joints_ohm(harness.wires[w]) for w, a in through.items())
        volts = [
            through.get(wire, 0.0)
            * conductor.ohm_per_m_20c
            * harness.wires[wire].cut_m
            * resistance_ratio(sizing.wires[wire].conductor_c)
            for wire, conductor in columns
        ]
        rows.append((volts, path.allowed_v - other_v - joints_v))
    one_each = np.array([[wire == w for w, _ in columns] for wire in wires], dtype=float)
    found = milp(
        [c.copper_mm2 * harness.wires[w].cut_m for w, c in columns],
        constraints=[
            LinearConstraint(one_each, 1, 1),
            LinearConstraint(np.array([v for v, _ in rows]), -np.inf, [most for _, most in rows]),
        ],
        integrality=np.ones(len(columns)),
        bounds=Bounds(0, 1),
        options={"mip_rel_gap": 1e-6},
    )
    return found.fun


def copper(vehicle, sizing):
    return sum(
        c.copper_mm2 * sized.working.length_m
        for sized in sizing.wires.values()
        for c in vehicle.wire_families[sized.family].conductors
        if c.label == sized.label
    )


@pytest.mark.parametrize("seed", range(20))
def test_a_small_car_has_at_most_two_percent_more_copper_than_the_best_sizes(seed):
    vehicle, harness = car(seed)
    sizing, solved = choose(vehicle, harness)
    assert not sizing.unsettled
    assert all(w.lost_v <= w.allowed_v * (1 + 1e-9) for w in sizing.path_drops)
    best = programme(vehicle, harness, sizing, solved)
    assert best is not None
    assert best * (1 - 1e-6) <= copper(vehicle, sizing) <= 1.02 * best


def test_at_least_half_of_these_cars_have_wires_that_the_drop_rules():
    ruled = [
        any(w.governing == "drop" for w in choose(*car(seed))[0].wires.values())
        for seed in range(0, 20, 4)
    ]
    assert sum(ruled) >= 3


def test_a_feeder_of_two_ways_is_thickened_once_for_both():
    # one ohm a size: 1, 1/2, 1/4; two ways of one amp may lose 1.25 V in feeder and branch. With
    # the feeder at a quarter the branches stay at 1: 4 + 1 + 1; with the branches 1 + 4 + 4
    sizes = ((1.0, 2.0, 4.0), (1.0, 0.5, 0.25))
    stretches = [Stretch(name, *sizes) for name in ("feeder", "a", "b")]
    ways = [Way(1.25, {"feeder": 1.0, name: 1.0}) for name in ("a", "b")]
    assert least_copper(stretches, ways, {}) == {"feeder": 2, "a": 0, "b": 0}


def test_sizes_that_do_stay():
    sizes = ((1.0, 2.0, 4.0), (1.0, 0.5, 0.25))
    stretches = [Stretch(name, *sizes) for name in ("feed", "return")]
    ways = [Way(1.5, {"feed": 1.0, "return": 1.0})]
    for stays in ({"feed": 1, "return": 0}, {"feed": 0, "return": 1}):
        assert least_copper(stretches, ways, stays) == stays
    # both is a size too much, and neither is too little
    for goes in ({"feed": 1, "return": 1}, {}):
        assert sorted(least_copper(stretches, ways, goes).values()) == [0, 1]
