"""The rows that a wire and a fuse show: values, allowances and what each would ask for."""

import math
from dataclasses import replace

import pytest

from buildbook.catalogue.load import contact_families, wire_families
from buildbook.description.quantities import parse_size
from buildbook.harness.model import Addend, End, Wire
from buildbook.sizing import limits
from buildbook.sizing.installation import Candidate, Installation
from buildbook.sizing.installed_ampacity import Site, installed_ampacity
from buildbook.sizing.limits import (
    FuseFacts,
    FuseProtection,
    WireFacts,
    fuse_limits,
    governing,
    wire_limits,
)
from buildbook.sizing.model import Limit, Selectivity
from buildbook.sizing.overcurrent import LargestFuse, Temperatures
from buildbook.sizing.voltage_drop import WorstPath
from tests.sizing import fuses
from tests.sizing.fuses import ROUND

FAMILY = wire_families()["thin-wall"]
CANDIDATES = tuple(Candidate(FAMILY, c) for c in FAMILY.conductors)
AT = {c.area_mm2: i for i, c in enumerate(CANDIDATES)}
NEEDS = {"heat": AT[0.5], "terminal": AT[0.22], "smallest": AT[0.35]}
CONTACTS = contact_families()


def installation(contacts=("pin-1.5", "blade-6.3"), ambient_c=40.0, **fields):
    ends = End("pin", "a.1", "here"), End("pin", "b.1", "there")
    wire = Wire("101", "c", "h", *ends, (), (), (Addend("run", 1.0),), "RD", "thin-wall")
    families = tuple(CONTACTS[c] for c in contacts)
    return Installation(
        wire, CANDIDATES, ambient_c, 1, families, False, **{"pinned": None, **fields}
    )


def facts(area=1.0, **fields):
    where = fields.pop("installation", installation())
    chosen = CANDIDATES[AT[area]]
    base = {
        "steady_a": 5.0,
        "ampacity": installed_ampacity(where, chosen, Site()),
        "crank_a": 0.0,
        "crank_allowed_a": 50.0,
        "temperatures": Temperatures(40.0, 60.0),
        "worst": None,
        "protection": None,
        "smallest": parse_size("0.35 mm2"),
    }
    return WireFacts(where, chosen, **{**base, **fields})


def rows(found, needs=None):
    return {(r.name, r.unit): r for r in wire_limits(found, needs or NEEDS)}


def test_margin_is_the_share_of_the_allowance_left():
    assert Limit("x", 3.0, 4.0, "A", "", "").margin == 0.25
    assert Limit("x", 5.0, 4.0, "A", "", "").margin == -0.25
    assert Limit("x", 0.0, 0.0, "A", "", "").margin == -1.0
    assert Limit("x", 4.0, 4.0, "A", "", "").met
    assert not Limit("x", 4.001, 4.0, "A", "", "").met


@pytest.mark.parametrize(
    ("needs", "name"),
    [
        ({"smallest": 2, "terminal": 2, "heat": 2, "fuse": 2, "drop": 2}, "smallest"),
        ({"smallest": 1, "terminal": 2, "heat": 2}, "terminal"),
        ({"smallest": 1, "heat": 3, "fuse": 3}, "heat"),
        ({"smallest": 1, "heat": 2, "fuse": 3}, "fuse"),
        ({"smallest": 1, "heat": 2, "drop": 3}, "drop"),
    ],
)
def test_the_first_named_of_the_largest_governs(needs, name):
    assert governing(needs, "") == name
    assert governing(needs, "author") == "author"


def test_heat_row_has_the_current_and_what_the_bundle_leaves():
    found = facts()
    row = rows(found)["heat", "A"]
    assert (row.value, row.allowed) == (5.0, found.ampacity.allowed_a)
    assert (row.needs, row.detail) == ("0.5 mm2", "")


def test_cranking_takes_the_heat_row_where_it_is_harder():
    assert rows(facts(crank_a=49.0))["heat", "A"].detail == "cranking"
    assert rows(facts(crank_a=49.0))["heat", "A"].allowed == 50.0
    assert rows(facts(crank_a=1.0))["heat", "A"].value == 5.0


@pytest.mark.parametrize(("over", "unit"), [(0.0, "degC"), (-0.1, "A"), (20.0, "degC")])
def test_air_at_the_rated_temperature_is_a_limit_of_its_own(over, unit):
    hot = installation(ambient_c=FAMILY.rated_c + over)
    row = rows(facts(installation=hot))["heat", unit]
    assert unit == "A" or (row.value, row.allowed) == (FAMILY.rated_c + over, FAMILY.rated_c)


def test_drop_row_names_load_and_state_and_the_size_it_needs():
    worst = WorstPath("pump", "idle", 0.3, 0.4)
    row = rows(facts(worst=worst), {**NEEDS, "drop": AT[1.5]})["drop", "V"]
    assert (row.value, row.allowed, row.needs) == (0.3, 0.4, "1.5 mm2")
    assert row.detail == "pump, idle"
    # where drop asked for nothing more, what the others ask for is enough
    assert rows(facts(worst=worst))["drop", "V"].needs == "0.5 mm2"


def test_fuse_and_short_rows():
    # 10 A of the round family: 160 A is 16 times, a quarter of a second at its slowest
    protection = FuseProtection("F1", ROUND, 10.0, 160.0, LargestFuse(14.0, 2.0, 100.0))
    found = rows(facts(protection=protection), {**NEEDS, "fuse": AT[0.75]})
    fuse, short = found["fuse", "A"], found["short", "A2s"]
    assert (fuse.value, fuse.allowed, fuse.needs, fuse.detail) == (10.0, 14.0, "0.75 mm2", "F1")
    assert short.value == pytest.approx(160**2 * 0.25)
    # k2 = 50927 ln((234.5 + final) / (234.5 + 60)), IEC 60364-5-54
    k2 = 50926.6 * math.log((234.5 + FAMILY.short_circuit_c) / 294.5)
    copper = CANDIDATES[AT[1.0]].conductor.copper_mm2
    assert short.allowed == pytest.approx(k2 * copper**2, rel=1e-3)
    assert short.detail == "160 A for 0.25 s"


def test_a_short_too_small_to_open_the_fuse_has_no_row_of_its_own():
    protection = FuseProtection("F1", ROUND, 10.0, 19.0, LargestFuse(14.0, 2.0, math.inf))
    assert ("short", "A2s") not in rows(facts(protection=protection))


def test_terminal_rows_are_of_the_narrowest_and_the_weakest_contact():
    found = rows(facts(steady_a=5.0))
    crimp, amps = found["terminal", "mm2"], found["terminal", "A"]
    assert (crimp.value, crimp.allowed) == (1.0, CONTACTS["pin-1.5"].largest_mm2)
    assert (amps.value, amps.allowed) == (5.0, CONTACTS["pin-1.5"].amps)
    assert amps.detail == "pin-1.5"
    assert ("terminal", "A") not in rows(facts(installation=installation(())))


def test_a_conductor_too_thin_for_a_crimp_is_told():
    thin = [r for r in wire_limits(facts(0.22), NEEDS) if r.name == "terminal" and not r.met]
    assert [(r.value, r.allowed, r.detail) for r in thin] == [(0.35, 0.22, "blade-6.3")]


def test_a_pinned_size_is_held_against_all_that_is_asked():
    pinned = installation(pinned=CANDIDATES[AT[0.35]])
    row = rows(facts(0.35, installation=pinned))["author", "mm2"]
    assert (row.value, row.allowed, row.needs) == (0.5, 0.35, "0.35 mm2")
    assert not row.met
    built = replace(pinned, pinned_by="as built")
    assert ("as built", "mm2") in rows(facts(0.35, installation=built))


def test_smallest_row_unless_no_contact_takes_the_smallest():
    assert rows(facts())["smallest", "mm2"].allowed == 1.0
    tiny = replace(CONTACTS["pin-0.64"], largest_mm2=0.3)
    narrow = replace(installation(), contacts=(tiny,))
    assert ("smallest", "mm2") not in rows(facts(0.22, installation=narrow))


def fuse_rows(load, rating=10.0, **fields):
    base = {"weakest_a": 14.0, "weakest_wire": "101", "short_a": 500.0, "selective": ()}
    found = fuse_limits(FuseFacts(ROUND, load, rating, **{**base, **fields}))
    return {r.name: r for r in found}


def test_load_row_of_a_fuse_in_warm_air():
    # 10 A * 0.75 * (1 - 0.002 * 50)
    row = fuse_rows(fuses.load(5.0, ambient_c=73.0))["load"]
    assert (row.value, row.allowed) == (5.0, pytest.approx(6.75))
    assert (row.needs, row.detail) == ("10 A", "on")


def test_inrush_row_is_in_ampere_squared_seconds():
    # 40 A: a tenth of a second at its quickest
    row = fuse_rows(fuses.load(1.0, 40.0, 0.05))["inrush"]
    assert (row.value, row.allowed) == (pytest.approx(80.0), pytest.approx(160.0))
    assert row.needs == "10 A"
    assert row.detail == "x: 40.0 A for 50 ms"
    assert "inrush" not in fuse_rows(fuses.load(1.0))


def test_crank_row_holds_half_a_minute_against_the_quickest_opening():
    row = fuse_rows(fuses.load(1.0, crank_a=20.0))["crank"]
    assert (row.value, row.allowed, row.met) == (30.0, pytest.approx(1.0), False)
    assert row.needs == "20 A"
    assert "crank" not in fuse_rows(fuses.load(1.0))


def test_weakest_wire_row_says_the_largest_standard_rating():
    assert fuse_rows(fuses.load(1.0))["wire"].needs == "10 A"
    assert fuse_rows(fuses.load(1.0), weakest_a=0.5)["wire"].needs == "a thicker wire"
    assert fuse_rows(fuses.load(1.0), weakest_a=10.0)["wire"].met
    assert "wire" not in fuse_rows(fuses.load(1.0), weakest_wire="")


def test_breaking_row_holds_a_dead_short_against_the_fuse():
    row = fuse_rows(fuses.load(1.0), short_a=1200.0)["breaking"]
    assert (row.value, row.allowed, row.met) == (1200.0, 1000.0, False)
    assert "breaking" not in fuse_rows(fuses.load(1.0), short_a=0.0)


def test_selective_row_is_of_the_worst_fuse_below():
    good = Selectivity("F1", "F2", True, 60.0, 0.1, 0.9)
    close = Selectivity("F1", "F3", True, 70.0, 0.1, 0.2)
    bad = Selectivity("F1", "F4", False, 80.0, 0.5, 0.4)
    assert fuse_rows(fuses.load(1.0), selective=(good, close))["selective"].detail == "F3 at 70 A"
    row = fuse_rows(fuses.load(1.0), selective=(good, bad, close))["selective"]
    assert (row.value, row.allowed, row.met) == (0.5, 0.4, False)
    assert "selective" not in fuse_rows(fuses.load(1.0))


def test_every_row_of_a_wire_says_unit_need_and_source():
    worst = WorstPath("pump", "idle", 0.3, 0.4)
    protection = FuseProtection("F1", ROUND, 10.0, 160.0, LargestFuse(14.0, 2.0, 100.0))
    needs = {**NEEDS, "fuse": AT[0.75], "drop": AT[1.5]}
    found = wire_limits(facts(worst=worst, protection=protection), needs)
    assert [(r.name, r.unit, r.needs, r.source) for r in found] == [
        ("heat", "A", "0.5 mm2", limits.HEAT),
        ("drop", "V", "1.5 mm2", limits.DROP),
        ("fuse", "A", "0.75 mm2", limits.FUSE),
        ("short", "A2s", "", limits.SHORT),
        ("terminal", "mm2", "0.22 mm2", limits.TERMINAL),
        ("terminal", "A", "", limits.TERMINAL),
        ("smallest", "mm2", "0.35 mm2", limits.SMALLEST),
    ]
    assert found[4].detail == "pin-1.5, largest"


def test_a_need_that_nobody_asked_for_has_no_label():
    found = rows(facts(), {"heat": AT[0.5]})
    assert found["terminal", "mm2"].needs == found["smallest", "mm2"].needs == ""


def test_heat_rows_of_cranking_and_of_hot_air_say_so():
    crank = rows(facts(crank_a=49.0))["heat", "A"]
    assert (crank.value, crank.needs, crank.source) == (49.0, "0.5 mm2", limits.CRANKING)
    hot = rows(facts(installation=installation(ambient_c=FAMILY.rated_c)))["heat", "degC"]
    assert (hot.needs, hot.source) == ("hotter family", limits.TOO_HOT)


def test_a_row_with_no_room_at_all_is_judged_by_what_little_flows():
    # nothing may flow for ever and nothing while cranking: half an ampere there is harder
    nothing = replace(facts().ampacity, allowed_a=0.0)
    found = rows(facts(steady_a=0.1, ampacity=nothing, crank_a=0.5, crank_allowed_a=0.0))
    assert found["heat", "A"].detail == "cranking"
    small = rows(
        facts(
            steady_a=0.1,
            ampacity=replace(nothing, allowed_a=0.1),
            crank_a=0.3,
            crank_allowed_a=0.5,
        )
    )
    assert small["heat", "A"].detail == ""


def test_a_pinned_size_says_who_fixed_it():
    fixed = installation(pinned=CANDIDATES[AT[0.35]])
    assert rows(facts(0.35, installation=fixed))["author", "mm2"].source == limits.AUTHOR
    built = replace(fixed, pinned_by="as built")
    assert rows(facts(0.35, installation=built))["as built", "mm2"].source == limits.BUILT


def test_a_conductor_just_thick_enough_for_a_crimp_has_no_row():
    exact = [r for r in wire_limits(facts(0.35), NEEDS) if r.name == "terminal" and r.unit == "mm2"]
    assert len(exact) == 1
    (thin,) = (r for r in wire_limits(facts(0.22), NEEDS) if r.name == "terminal" and not r.met)
    assert (thin.unit, thin.needs, thin.source) == ("mm2", "0.22 mm2", limits.TERMINAL)


def test_a_contact_that_takes_the_smallest_exactly_keeps_its_row():
    tight = replace(CONTACTS["pin-0.64"], largest_mm2=0.35)
    found = rows(facts(0.35, installation=replace(installation(), contacts=(tight,))))
    assert found["smallest", "mm2"].met


def test_every_row_of_a_fuse_says_unit_and_source():
    pair = Selectivity("F1", "F2", True, 60.0, 0.1, 0.9)
    hard = fuses.load(1.0, 40.0, 0.05, crank_a=20.0)
    found = fuse_rows(hard, selective=(pair,))
    assert {name: (r.unit, r.source) for name, r in found.items()} == {
        "load": ("A", limits.LOAD),
        "inrush": ("A2s", limits.INRUSH),
        "crank": ("s", limits.CRANK_FUSE),
        "wire": ("A", limits.FUSE),
        "breaking": ("A", limits.BREAKING),
        "selective": ("s", limits.SELECTIVE),
    }
    assert found["wire"].detail == "101"
    assert found["crank"].detail == "20 A"
    assert found["breaking"].needs == found["selective"].needs == ""


def test_a_wire_that_stands_just_the_rating_lets_it_stay():
    assert fuse_rows(fuses.load(1.0), weakest_a=10.0)["wire"].needs == "10 A"


def test_small_inrush_and_small_cranking_have_their_rows_and_endless_times_an_end():
    # 0.5 A never opens a 10 A fuse: 1e6 s stands for ever
    found = fuse_rows(fuses.load(0.1, 0.5, 0.1, crank_a=0.5))
    assert found["inrush"].allowed == pytest.approx(0.25e6)
    assert found["inrush"].detail == "x: 0.5 A for 100 ms"
    assert found["crank"].allowed == 1e6


def test_warm_air_leaves_a_fuse_less_time():
    # 73 degC: 10 A * 0.9 = 9 A; 18 A is twice that, held for 1 s at its quickest
    found = fuse_rows(fuses.load(1.0, 18.0, 0.05, crank_a=18.0, ambient_c=73.0))
    assert found["inrush"].allowed == pytest.approx(18.0**2)
    assert found["crank"].allowed == pytest.approx(1.0)


def test_of_endless_times_the_longest_printed_is_a_million_seconds():
    never = Selectivity("F1", "F2", True, 60.0, 0.0, math.inf)
    row = fuse_rows(fuses.load(1.0), selective=(never,))["selective"]
    assert (row.value, row.allowed) == (0.0, 1e6)
    held = Selectivity("F1", "F2", False, 60.0, math.inf, 3.0)
    row = fuse_rows(fuses.load(1.0), selective=(held,))["selective"]
    assert (row.value, row.allowed) == (1e6, 3.0)
