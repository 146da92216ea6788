"""One line changed in the example changes lengths, sizes, drops, parts and troubleshooting."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from buildbook.pipeline import price_out
from buildbook.result import Priced
from tests.conftest import EXAMPLE, result_of

PUMP = "fuel-pump"


def priced(folder: Path) -> Priced:
    """All but the faults of a folder that has no problems."""
    found, problems = price_out(folder)
    assert found is not None and not problems
    return found


def changed(folder: Path, file: str, old: str, new: str, made=priced):
    """What is `made` of a copy of the example in which `old` became `new` once in `file`."""
    shutil.copytree(EXAMPLE, folder)
    text = (folder / file).read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{file} holds {text.count(old)} times: {old}"
    (folder / file).write_text(text.replace(old, new), encoding="utf-8")
    return made(folder)


def wires_of(result, circuit: str):
    """The wires of a circuit."""
    return [w for w in result.harness.wires.values() if w.circuit == circuit]


def copper_m(result) -> float:
    """Metres of single wire in the needs."""
    return sum(n.need.quantity for n in result.bill.lines if n.need.key.startswith("wire "))


def healthy_pump_v(result, state: str = "idle") -> float:
    """What troubleshooting calls the healthy voltage across the pump."""
    for effects in result.faultfinding.effects.values():
        for effect in effects:
            if (effect.load, effect.state) == (PUMP, state):
                return effect.healthy_v
    raise AssertionError("no fault touches the pump")


@pytest.fixture(scope="module")
def moved(tmp_path_factory):
    old = "{kind: fuel pump, name: Fuel pump, at: tank-shelf,"
    return changed(
        tmp_path_factory.mktemp("moved") / "car",
        "engine.yaml",
        old,
        old.replace("tank-shelf", "differential"),
    )


@pytest.fixture(scope="module")
def doubled(tmp_path_factory):
    return changed(
        tmp_path_factory.mktemp("doubled") / "car",
        "engine.yaml",
        "amps: 8.5 A, at: 13.5 V",
        "amps: 17 A, at: 13.5 V",
    )


@pytest.fixture(scope="module")
def lengthened(tmp_path_factory):
    old = "{from: R1, to: tank-shelf, length: 380 mm"
    return changed(
        tmp_path_factory.mktemp("lengthened") / "car",
        "rope.yaml",
        old,
        old.replace("380 mm", "5380 mm"),
        result_of,
    )


def test_a_moved_device_takes_its_wires_along(lapwing, moved):
    ends = {point for w in wires_of(moved, "pump feed") for point in (w.a.point, w.b.point)}
    assert "differential" in ends and "tank-shelf" not in ends
    longer = sum(w.cut_m for w in wires_of(moved, "pump feed"))
    assert longer > sum(w.cut_m for w in wires_of(lapwing, "pump feed")) + 0.4
    assert copper_m(moved) > copper_m(lapwing)


def test_a_moved_device_has_another_voltage(lapwing, moved):
    was, now = (r.solved.meter["idle"].across(f"{PUMP}.1~", f"{PUMP}.2~") for r in (lapwing, moved))
    assert was > 12.0 and now != pytest.approx(was, abs=1e-4)


def test_a_doubled_load_asks_for_a_larger_fuse_and_thicker_wire(lapwing, doubled):
    def fuse_and_area(result):
        rear = [
            w
            for w in wires_of(result, "pump feed")
            if w.b.node.startswith(PUMP) or w.a.node.startswith(PUMP)
        ]
        size = result.sizing.wires[rear[0].id]
        return result.sizing.fuses[size.fuse].rating_a, size.area_mm2, size.current_a

    before, after = fuse_and_area(lapwing), fuse_and_area(doubled)
    assert after[2] > 1.8 * before[2]
    assert after[0] > before[0]
    assert after[1] > before[1]


def test_a_doubled_load_changes_what_is_bought(lapwing, doubled):
    def needs(result):
        return {
            line.need.key: line.need.quantity
            for line in result.bill.lines
            if line.need.key.startswith(("wire ", "fuse "))
        }

    assert needs(doubled) != needs(lapwing)


def test_a_doubled_load_charges_less(lapwing, doubled):
    before, after = (r.solved.meter["idle"].alternator_a for r in (lapwing, doubled))
    limit = doubled.solved.meter["idle"].alternator_limit_a
    assert after > before or after == pytest.approx(limit, rel=0.02)


def besides_sizes(wire) -> list[tuple[str, str, float]]:
    """What a wire is cut to, without what follows from sizes: lays, and splices off their mark."""
    return [
        (part.kind, part.what, round(part.length_m, 9))
        for part in wire.addends
        if part.kind not in ("lay", "offset")
    ]


def test_a_longer_run_lengthens_exactly_the_wires_that_run_in_it(lapwing, lengthened):
    """Volts, and so sizes, follow everywhere; where these move a splice, its wires go elsewhere."""
    same_way = 0
    for wire in lapwing.harness.wires.values():
        other = lengthened.harness.wires[wire.id]
        if wire.harness != "rear" and other.points == wire.points:
            same_way += 1
            assert besides_sizes(other) == besides_sizes(wire)
        elif wire.harness != "rear":
            assert "splice" in (wire.a.kind, wire.b.kind), wire.id
        if wire.circuit == "pump feed" and "tank-shelf" in wire.points:
            assert other.cut_m == pytest.approx(wire.cut_m + 5.0, abs=0.05)
    elsewhere = sum(w.harness != "rear" for w in lapwing.harness.wires.values())
    assert same_way >= 0.95 * elsewhere


def test_a_longer_run_drops_more_or_is_wired_thicker(lapwing, lengthened):
    def rear(result):
        wire = next(w for w in wires_of(result, "pump feed") if "tank-shelf" in w.points)
        return result.sizing.wires[wire.id]

    before, after = rear(lapwing), rear(lengthened)
    assert after.drop_v > before.drop_v or after.area_mm2 > before.area_mm2
    assert healthy_pump_v(lengthened) != pytest.approx(healthy_pump_v(lapwing), abs=1e-4)
    assert copper_m(lengthened) > copper_m(lapwing) + 9
