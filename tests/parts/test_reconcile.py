"""The need counted again from results.json and the YAML, by another way than the program's."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from math import ceil
from pathlib import Path

import pytest
import yaml

from buildbook.book.chapters.harnesses import sheet_of
from buildbook.description.quantities import parse_size
from buildbook.export.results import results
from tests.conftest import EXAMPLE, TESTS, in_full

FOLDERS = {
    "two_wire": TESTS / "vehicles" / "two-wire",
    "motorcycle": TESTS / "vehicles" / "motorcycle",
    "lapwing": EXAMPLE,
}


def written(folder: Path, section: str) -> dict:
    """A section of the YAML files, read by a plain YAML reader."""
    found: dict = {}
    for path in sorted(in_full(folder).glob("*.yaml")):
        found |= yaml.safe_load(path.read_text()).get(section) or {}
    return found


@pytest.fixture(params=FOLDERS)
def both(request):
    """The exported data, read back from JSON, and the folder it comes from."""
    result = request.getfixturevalue(request.param)
    return json.loads(json.dumps(results(result))), FOLDERS[request.param]


def needed(data: dict, kind: str) -> dict[str, float]:
    """Needs of one kind as bought, the mate of a contact counted with it."""
    found: dict[str, float] = defaultdict(float)
    for row in data["buying"]["needs"]:
        if row["need"].split(" ")[0] == kind:
            found[row["need"].replace(" mate", "")] += row["quantity"]
    return dict(found)


def ends(data: dict):
    """(node, contact, size) of every wire end."""
    for wire in data["wires"]:
        yield wire["from"], wire["from_contact"], wire["size"]
        yield wire["to"], wire["to_contact"], wire["size"]


def test_a_terminal_for_every_wire_end_that_is_no_splice_or_cap(both):
    data, _ = both
    splices = {s["id"] for s in data["splices"]}
    counted = Counter(
        f"terminal {contact} {size}"
        for node, contact, size in ends(data)
        if node not in splices and not node.endswith(".cap")
    )
    assert needed(data, "terminal") == counted


def test_terminals_in_connectors_are_those_of_the_connector_tables(both):
    data, _ = both
    size = {wire["id"]: wire["size"] for wire in data["wires"]}
    rows = data["connectors"]
    in_tables = Counter(
        f"terminal {row['contact']} {size[w]}" for row in rows for w in row["wires"].split()
    )
    nodes = {row["pin"] for row in rows}
    loose = Counter(f"terminal {c} {s}" for node, c, s in ends(data) if c and node not in nodes)
    assert needed(data, "terminal") == in_tables + loose


def test_a_seal_for_every_wire_in_a_sealed_plug_and_a_blank_for_every_empty_cavity(both):
    data, folder = both
    plugs = written(folder, "plugs")
    size = {wire["id"]: wire["size"] for wire in data["wires"]}
    seals, filled, types = Counter(), Counter(), {}
    for row in data["connectors"]:
        plug = plugs[row["type"]]
        types[row["connector"]] = row["type"]
        for wire in row["wires"].split():
            if plug.get("sealed"):
                seals[f"seal {row['contact']} {size[wire]}"] += 1
                filled[row["connector"]] += 1
    cavities = {
        name: sum(len([c for c in row if c is not None]) for row in plug.get("rows", []))
        + sum(len(ring) for ring in plug.get("rings", []))
        for name, plug in plugs.items()
    }
    empty = sum(cavities[t] - filled[c] for c, t in types.items() if plugs[t].get("sealed"))
    assert needed(data, "seal") == seals
    assert sum(needed(data, "blank").values()) == empty


def test_every_connector_is_a_housing_save_the_half_that_is_there(both):
    data, folder = both
    devices = written(folder, "devices")
    counted: Counter[str] = Counter()
    for name, kind in {row["connector"]: row["type"] for row in data["connectors"]}.items():
        device, _, harness = name.partition("/")
        passing = devices.get(device, {})
        there = passing.get("on vehicle") and harness == passing.get("between", ["", ""])[1]
        counted[f"housing {kind}"] += not there
    assert needed(data, "housing") == {key: n for key, n in counted.items() if n}


def test_every_metre_of_wire_by_type_size_and_colour(both):
    data, _ = both
    metres: dict[str, float] = defaultdict(float)
    for wire in data["wires"]:
        if not wire["cable"]:
            key = f"wire {wire['family']} {wire['size']} {wire['colour']}"
            metres[key] += wire["cut_length_m"]
    assert needed(data, "wire") == pytest.approx(metres, abs=0.0006 * len(data["wires"]))


def test_every_fuse_by_type_and_rating(both):
    data, folder = both
    devices = written(folder, "devices")
    counted = Counter(
        f"fuse {devices[row['fuse']].get('fuse', 'blade')} {row['rating_a']:g} A"
        for row in data["fuses"]
        if not devices[row["fuse"]].get("on vehicle")
    )
    assert needed(data, "fuse") == counted


def test_a_barrel_for_every_splice_that_takes_its_thickest_wire(both):
    data, _ = both
    size = {wire["id"]: wire["size"] for wire in data["wires"]}
    bought = needed(data, "splice")
    assert sum(bought.values()) == len(data["splices"])
    thickest = sorted(
        max(parse_size(size[w]).area_mm2 for w in words(splice["wires"]))
        for splice in data["splices"]
    )
    barrels = [
        key.removeprefix("splice barrel-") for key, n in bought.items() for _ in range(int(n))
    ]
    assert all(a <= 1.1 * b for a, b in zip(thickest, sorted(map(float, barrels)), strict=True))


def words(value: str | list[str]) -> list[str]:
    return value.split() if isinstance(value, str) else value


def test_every_relay_and_ground_stud(both):
    data, folder = both
    devices = written(folder, "devices")
    kinds = Counter(d["kind"] for d in devices.values() if not d.get("part"))
    assert needed(data, "relay").get("relay", 0) == kinds["relay"]
    assert sum(needed(data, "stud").values()) == kinds["ground"]
    parts = Counter(d["part"] for d in devices.values() if d.get("part"))
    assert needed(data, "part") == {f"part {part}": n for part, n in parts.items()}


def test_what_is_bought_and_owned_covers_every_need(lapwing):
    """Packs times pack, with stock, hold what is fitted, spare and carried."""
    parts = lapwing.vehicle.description.parts
    wanted = {need.key: need.wanted for need in lapwing.bill.needs}
    held: dict[frozenset, float] = defaultdict(float)
    groups: dict[str, set[str]] = {}
    for line in lapwing.bill.lines:
        group = set(line.keys).union(*(groups.get(key, ()) for key in line.keys))
        for key in group:
            groups[key] = group
    for line in lapwing.bill.lines:
        if line.part:
            owned = line.packs * line.pack
            if line.colours:
                owned += sum(s.length or 0 for s in parts[line.part].owned)
            else:
                owned += line.owned
            held[frozenset(groups[line.keys[0]])] += owned
    short = {
        tuple(group): (have, sum(wanted[key] for key in group))
        for group, have in held.items()
        if have < sum(wanted[key] for key in group) - 1e-6
    }
    assert not short


def test_the_cutting_lists_hold_every_piece_of_the_cut_list_once(lapwing):
    cut = Counter(
        (c.piece, round(c.length_m, 6))
        for plan in lapwing.bill.plans
        for source in plan.sources
        for c in source.cuts
    )
    wires = Counter(
        (wire.id, round(wire.cut_m, 6)) for wire in lapwing.harness.wires.values() if not wire.cable
    )
    cables = Counter(
        (row.name, row.cut_mm)
        for name in lapwing.vehicle.description.rope
        for row in sheet_of(lapwing, name).cuts
        if not row.colour
    )
    names = {name for name, _ in cables}
    assert Counter({k: n for k, n in cut.items() if k[0] not in names}) == wires
    in_plans = [(k[0], ceil(1000 * k[1] - 1e-6)) for k in cut.elements() if k[0] in names]
    assert Counter(in_plans) == cables and max(cables.values()) == 1
    for plan in lapwing.bill.plans:
        for source in plan.sources:
            ends = [c.start_m + c.length_m for c in source.cuts]
            starts = [c.start_m for c in source.cuts[1:]]
            assert all(a < b for a, b in zip(ends, starts, strict=False))
            assert ends[-1] <= source.length_m + 1e-6


def test_the_reels_of_the_cutting_lists_are_bought(lapwing):
    reels: Counter[str] = Counter()
    for plan in lapwing.bill.plans:
        pack = lapwing.vehicle.description.parts[plan.part].pack
        new = [s.length_m for s in plan.sources if not s.owned]
        reels[plan.part] += ceil(sum(new) / pack - 1e-9)
    bought = Counter()
    for line in lapwing.bill.lines:
        bought[line.part] += line.packs
    assert all(bought[part] >= n for part, n in reels.items())


def test_kits_hold_all_that_belongs_to_a_harness(lapwing):
    from buildbook.parts.kits import kits

    in_kits = sum(i.quantity for items in kits(lapwing.bill).values() for i in items)
    in_needs = sum(u.quantity for n in lapwing.bill.needs for u in n.uses if u.harness)
    assert in_kits == pytest.approx(in_needs)


@pytest.mark.parametrize("split", ["by_kind", "by_system", "by_harness"])
def test_costs_by_kind_system_and_harness_each_add_up_to_the_net(lapwing, split):
    assert sum(getattr(lapwing.bill, split).values()) == lapwing.bill.net


def test_orders_add_up_to_the_total(lapwing):
    assert sum(order.home.total for order in lapwing.bill.orders) == lapwing.bill.total
