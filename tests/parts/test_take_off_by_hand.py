"""The whole take-off of one small harness, counted on paper: words, numbers, units and places.

Two circuits of the lights and three of the supply, with one splice, one cap, one sealed plug of
three cavities that takes a lock and has a shell of 12 mm, and one run of 2 m in braid. Ties, ends
of heat-shrink and what goes with a contact are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.catalogue.load import sleeves
from buildbook.harness.finishing import FinishedRun
from buildbook.harness.model import Bundle, Splice
from buildbook.parts.cover_needs import size_words
from buildbook.parts.device_needs import without_part
from buildbook.parts.model import Need
from buildbook.parts.needs import needs
from buildbook.sizing.finished_runs import finished_runs
from buildbook.vehicle.model import PassThrough
from buildbook.words.say import in_language
from tests.checks import minimal as m

PLUG = {
    "sealed": True,
    "rows": [["1", "2", "3"]],
    "contacts": {"3": "blade-2.8"},
    "takes": ["lock"],
    "shell": "12 mm",
}


def of_lights(device):
    return replace(device, system="lights")


def bench():
    devices = (
        m.BATTERY,
        m.fuse("F1"),
        m.device("F2", "fuse", "in out", panel="box"),
        m.device("box", "panel", ""),
        of_lights(m.device("lamp", "lamp", "1 2 3", "pin-1.5", written={"part": "work-lamp"})),
        m.device("horn", "horn", "1 2", written={"part": "loud-horn"}),
        m.device("gauge", "display", "1"),
        m.device("radio", "load", "1", written={"part": "radio", "on vehicle": True}),
        m.device("G1", "ground", "stud", "ring-M6"),
        m.device("K1", "relay", "30 87 85 86"),
    )
    vehicle = m.vehicle(
        devices,
        {
            "feed": ("F1.out", "lamp.1"),
            "return": ("lamp.2", "G1.stud"),
            "plus": ("battery.+", "F1.in"),
            "minus": ("battery.-", "G1.stud"),
            "later": ("gauge.1",),
        },
        (m.run("r1", "P", "L", 2.0, clamps=3),),
        rope={"h": {"runs": [{"from": "P", "to": "L", "length": "2 m", "zone": "cabin"}]}},
        parts={"work-lamp": {"what": "Work lamp, round"}},
    )
    lit = {name: of_lights(vehicle.circuits[name]) for name in ("feed", "return")}
    vehicle = replace(vehicle, circuits={**vehicle.circuits, **lit})
    blade, pin = {"contact": "blade-6.3"}, {"contact": "pin-1.5", "connector": "lamp"}
    splice, stud = m.end("S101", "splice"), m.end("G1.stud", contact="ring-M6")
    wires = (
        m.wire("101a", "feed", m.end("F1.out", **blade), splice, 1.2),
        m.wire("101b", "feed", splice, m.end("lamp.1", cavity="1", **pin), 0.8),
        m.wire("102", "return", m.end("lamp.2", cavity="2", **pin), stud, 2.0, colour="BK"),
        m.wire("103", "plus", m.end("battery.+", contact="ring-M8"), m.end("F1.in", **blade), 0.6),
        m.wire("104", "minus", m.end("battery.-", contact="ring-M8"), stud, 0.4, colour="BK"),
        m.wire("105", "later", m.end("gauge.1", **blade), m.end("105.cap", "capped"), 0.3),
    )
    harness = m.harness(
        wires,
        (Splice("S101", "feed", "h", "P", 0.0, ("101a", "101b")),),
        (m.connector("lamp", "lamp-3", "L", **PLUG),),
        (Bundle("r1", ("101b", "102")),),
    )
    sizing = m.sizing(
        m.sized("101a", "1 mm2"),
        m.sized("101b"),
        m.sized("102"),
        m.sized("103", "2.5 mm2"),
        m.sized("104", "10 mm2", family="battery"),
        m.sized("105"),
        m.rated("F1", 5, 2),
        m.rated("F2", 7.5, 2),
    )
    return vehicle, replace(harness, heat_shrink=("S101", "105.cap")), sizing


IN_H, OF_MAIN, LIGHTS, SHARED = ("h", "main"), ("", "main"), ("h", "lights"), ("h", "")
PIECES = {
    "Terminal blade-6.3, 1 mm2": {LIGHTS: 1},
    "Terminal blade-6.3, 2.5 mm2": {IN_H: 1},
    "Terminal blade-6.3, 0.5 mm2": {IN_H: 1},
    "Terminal pin-1.5, 0.5 mm2": {LIGHTS: 2},
    "Ring terminal M6, 0.5 mm2": {LIGHTS: 1},
    "Ring terminal M6, 10 mm2": {IN_H: 1},
    "Ring terminal M8, 2.5 mm2": {IN_H: 1},
    "Ring terminal M8, 10 mm2": {IN_H: 1},
    "Insulating end cap": {IN_H: 1},
    # On the live post alone: the other one is at the body.
    "Terminal boot M8": {IN_H: 1},
    "Wire seal pin-1.5, 0.5 mm2": {LIGHTS: 2},
    # The third cavity takes another contact than the two that are filled.
    "Cavity blank blade-2.8": {LIGHTS: 1},
    "Housing lamp-3": {LIGHTS: 1},
    "Lock for lamp-3": {LIGHTS: 1},
    # Over a shell of 8 to 13 mm, down to 3 mm; two wires of 1.6 mm side by side are 3.2 mm.
    "Moulded boot, boot-14": {LIGHTS: 1},
    "Wire label": {LIGHTS: 2 * 3, IN_H: 2 * 3},
    "Connector label": {LIGHTS: 1},
    "Fuse, blade, 5 A": {OF_MAIN: 1},
    "Fuse, blade, 7.5 A": {OF_MAIN: 1},
    # F2 sits in the panel.
    "Fuse holder, blade": {OF_MAIN: 1},
    # 1 and 0.5 mm2 leave to one side: 1.5 mm2.
    "Splice, copper barrel 1.5 to 2.5 mm2": {LIGHTS: 1},
    # 3.2 mm of wire and twice a wall of 0.5 mm: 4.2 mm.
    "Clamp, cushioned-5": {SHARED: 3},
    "Tie or lacing": {SHARED: 13},
    "Work lamp, round": {("", "lights"): 1},
    "Horn": {OF_MAIN: 1},
    "Relay": {OF_MAIN: 1},
    "Relay base": {OF_MAIN: 1},
    "Fuse and relay panel": {OF_MAIN: 1},
    "Ground stud M6 with serrated washers and nut": {OF_MAIN: 1},
    "Contact cleaner, can": {("", ""): 1},
    "Silicone grease for seals, tube": {("", ""): 1},
    "Protective grease for ground studs, tube": {("", ""): 1},
    "Wire stripper": {("", ""): 1},
    "Crimp tool for open-barrel contacts": {("", ""): 1},
    "Crimp tool for ring terminals up to 6 mm2": {("", ""): 1},
    "Hexagon crimp tool for lugs from 10 mm2": {("", ""): 1},
    "Crimp tool for splices": {("", ""): 1},
    "Extractor for pin-1.5 contacts": {("", ""): 1},
    "Heat gun": {("", ""): 1},
    "Label printer": {("", ""): 1},
    "Rivet tool for clamps": {("", ""): 1},
}
METRES = {
    "Wire, thin-wall 1 mm2, RD": {LIGHTS: 1.2},
    "Wire, thin-wall 0.5 mm2, RD": {LIGHTS: 0.8, IN_H: 0.3},
    "Wire, thin-wall 0.5 mm2, BK": {LIGHTS: 2.0},
    "Wire, thin-wall 2.5 mm2, RD": {IN_H: 0.6},
    "Wire, battery 10 mm2, BK": {IN_H: 0.4},
    # Braid is cut a tenth longer than its run.
    "Braided sleeve, braid-3": {SHARED: 2.2},
    # 40 mm at each end of the braid; over the barrel of 8 mm, 12 mm of insulation at both ends.
    "Adhesive heat-shrink, shrink-6": {SHARED: 0.080, LIGHTS: 0.032},
    "Adhesive heat-shrink, shrink-3": {IN_H: 0.050},
}


def places(need: Need) -> dict[tuple[str, str], float]:
    return {(use.harness, use.system): use.quantity for use in need.uses}


def taken_off(*parts, dressed=None) -> dict[str, Need]:
    found = finished_runs(*parts) if dressed is None else dressed
    return {n.what: n for n in needs(*parts, found)}


def test_everything_is_named_counted_and_put_where_it_belongs():
    found = taken_off(*bench())
    assert {what: places(n) for what, n in found.items() if n.unit == "piece"} == PIECES
    assert {what: places(n) for what, n in found.items() if n.unit == "m"} == {
        what: pytest.approx(metres) for what, metres in METRES.items()
    }
    for need in found.values():
        assert need.quantity == pytest.approx(sum(places(need).values()))


def test_wire_keeps_the_pieces_that_are_cut_from_it():
    red = taken_off(*bench())["Wire, thin-wall 0.5 mm2, RD"]
    assert [(p.id, p.harness, p.length_m) for p in red.pieces] == [
        ("101b", "h", 0.8),
        ("105", "h", 0.3),
    ]


def spliced(family: str, **ways: tuple[str, str]):
    """Wires of a splice, each with its size and the run by which it leaves; nothing else."""
    vehicle = m.vehicle((m.device("M1", "motor", "a b"),), {"c": ("M1.a", "M1.b")})
    wires = tuple(
        m.wire(name, "c", m.end("S1", "splice"), m.end(f"M1.{name}"), runs=(run,))
        for name, (_, run) in ways.items()
    )
    harness = m.harness(wires, (Splice("S1", "c", "h", "P", 0.0, tuple(ways)),))
    sizing = m.sizing(*(m.sized(name, size, family=family) for name, (size, _) in ways.items()))
    return vehicle, replace(harness, heat_shrink=("S1",)), sizing


def test_more_copper_than_a_barrel_takes_is_bolted_and_what_no_sleeve_goes_over_says_so():
    """240 mm2 from one side; two cables of 19.7 mm side by side are 39.4 mm, and no shrink goes
    over more than 36 mm."""
    thick = spliced("battery", a=("120 mm2", "out"), b=("120 mm2", "out"))
    found = taken_off(*thick, dressed={})
    assert places(found["Splice, lugs on a stud, 240 mm2"]) == {IN_H: 1}
    assert places(found["Adhesive heat-shrink, round 39 mm"]) == {IN_H: 0.05}


def test_a_thin_wire_beside_a_thick_one_is_built_up_before_the_sleeve_goes_over():
    """6.35 mm2 in a barrel of 10 mm, 5.5 mm thick. What goes over that closes on 3 mm at best: a
    wire of 1.3 mm takes 24 mm of the smallest first, walls of 0.9 mm, which makes 3.1 mm."""
    unlike = spliced("thin-wall", a=("6 mm2", "in"), b=("0.35 mm2", "out"))
    found = taken_off(*unlike, dressed={})
    assert places(found["Splice, copper barrel 4 to 6 mm2"]) == {IN_H: 1}
    assert places(found["Adhesive heat-shrink, shrink-9"]) == {IN_H: 0.034}
    assert places(found["Adhesive heat-shrink, shrink-3"]) == {IN_H: 0.024}


@pytest.mark.parametrize(
    ("cover", "sleeve", "bare_mm", "bought"),
    [
        ("heat-shrink", None, 50.0, {"Heat-shrink, over 50 mm": 2.0}),
        ("heat-shrink", "shrink-6", 3.0, {"Heat-shrink, shrink-6": 2.0}),
        # Round 3 mm for 2 m, twice, 19 mm wide: 1984.2 mm (geometry), to the next 5.
        ("tape", "tape-19", 3.0, {"Tape, tape-19": 1.985}),
        ("none", None, 3.0, {}),
    ],
)
def test_a_cover_is_bought_by_the_metre_and_only_braid_is_held_at_its_ends(
    cover, sleeve, bare_mm, bought
):
    made = sleeves()[sleeve] if sleeve else None
    run = FinishedRun(
        "r1", "h", (), None, None, bare_mm, cover, made, True, bare_mm, None, 0.0, None, 6.0
    )
    vehicle = m.vehicle(runs=(m.run("r1", "P", "L", 2.0, clamps=1),))
    found = taken_off(vehicle, m.harness(), m.sizing(), dressed={"r1": run})
    assert {what: n.quantity for what, n in found.items() if n.unit == "m"} == bought
    assert places(found[f"Clamp, round {bare_mm:.0f} mm"]) == {SHARED: 1}


@pytest.mark.parametrize(("shell", "boot"), [("60 mm", "over 60 mm"), ("20 mm", "boot-24")])
def test_a_boot_goes_over_the_shell_and_closes_on_its_wires(shell, boot):
    """From 13 to 23 mm and down to 6 mm: 16 mm2 of cable is 8.3 mm thick."""
    vehicle, harness, sizing = bench()
    sizing.wires["102"] = m.sized("102", "16 mm2", family="battery")
    wide = m.connector("lamp", "lamp-3", "L", **{**PLUG, "shell": shell})
    found = taken_off(vehicle, replace(harness, connectors={"lamp": wide}), sizing)
    assert places(found[f"Moulded boot, {boot}"]) == {LIGHTS: 1}


def test_a_cable_is_bought_by_the_metre_and_cut_at_every_splice():
    """From the fuse to the splice and from the lamp to the ground: two lengths, each as long as
    its longest core; the cores are no wire of their own, and have their labels."""
    vehicle, harness, sizing = bench()
    cable = {"pair": {"type": "twisted pair", "cores": ["feed", "return"]}}
    vehicle = replace(
        vehicle, description=m.description(cables=cable, rope={"h": {"runs": []}}, parts={})
    )
    for name, run in {"101a": "near", "101b": "far", "102": "near"}.items():
        harness.wires[name] = replace(harness.wires[name], cable="pair", runs=(run,))
    found = taken_off(vehicle, replace(harness, heat_shrink=()), sizing, dressed={})
    pair = found["Cable, twisted pair"]
    assert (pair.key, pair.unit, pair.spare) == ("cable twisted pair", "m", 0.28)
    assert [(p.id, p.harness, p.length_m) for p in pair.pieces] == [
        ("pair-1", "h", 2.0),
        ("pair-2", "h", 0.8),
    ]
    assert places(pair) == {LIGHTS: pytest.approx(2.8)}
    assert places(found["Wire label"]) == {LIGHTS: 6, IN_H: 6}
    assert not [what for what in found if what.startswith("Wire, thin-wall 1 mm2")]


def test_a_size_that_no_catalogue_has_is_said_in_german_too():
    """In a German shop "für Ø" says what it has to go round; a trade size is no word."""
    with in_language("de"):
        said = [size_words(size) for size in ("over 60 mm", "round 39 mm", "braid-6")]
    assert said == ["für Ø 60 mm", "für Ø 39 mm", "braid-6"]


def test_the_two_halves_of_a_pass_through_are_mates_down_to_their_terminals():
    """The half that is on the vehicle already is bought no housing for, but has its label."""
    vehicle, harness, sizing = bench()
    halves = {f"X1/{name}": name for name in ("h", "g")}
    harness.connectors.update(
        {id_: m.connector(id_, "bulk-2", device="X1", harness=name) for id_, name in halves.items()}
    )
    for id_, name in halves.items():
        end = m.end(f"X1.1/{name}", "half", connector=id_, cavity="1", contact="pin-1.5")
        harness.wires[f"106{name}"] = m.wire(
            f"106{name}", "later", end, m.end("106.cap", "capped"), harness=name
        )
        sizing.wires[f"106{name}"] = m.sized(f"106{name}")
    passing = PassThrough("X1", "P", ("h", "g"), "bulk-2", m.plug(), {}, False, m.HERE)
    new = taken_off(replace(vehicle, pass_throughs=(passing,)), harness, sizing)
    assert places(new["Housing bulk-2"]) == {SHARED: 1}
    assert places(new["Housing bulk-2 mate"]) == {("g", ""): 1}
    assert places(new["Mating terminal pin-1.5, 0.5 mm2"]) == {("g", "main"): 1}
    assert places(new["Terminal pin-1.5, 0.5 mm2"]) == {LIGHTS: 2, IN_H: 1}
    there = replace(vehicle, pass_throughs=(replace(passing, on_vehicle=True),))
    found = taken_off(there, harness, sizing)
    assert "Housing bulk-2 mate" not in found
    assert places(found["Connector label"]) == {LIGHTS: 1, SHARED: 1, ("g", ""): 1}


@pytest.mark.parametrize(
    ("kind", "boots"),
    [("battery", 1), ("alternator", 1), ("starter", 1), ("isolator", 1), ("motor", 0)],
)
def test_a_ring_on_a_post_that_no_fuse_protects_takes_a_boot(kind, boots):
    """Behind a motor's stud there is a fuse."""
    device = m.device("X", kind, "B", "ring-M8")
    vehicle = m.vehicle((m.BATTERY, device), {"c": ("X.B",)})
    wire = m.wire("101", "c", m.end("X.B", contact="ring-M8"), m.end("101.cap", "capped"))
    found = taken_off(vehicle, m.harness((wire,)), m.sizing(m.sized("101")))
    assert ("Terminal boot M8" in found) == bool(boots)


def test_nothing_is_taken_off_where_there_is_nothing():
    assert taken_off(m.vehicle(), m.harness(), m.sizing()) == {}


def test_devices_that_nothing_is_bought_for_are_taken_to_be_there():
    assert without_part(bench()[0]) == ("battery", "gauge", "radio")
