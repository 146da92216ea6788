"""What holds and covers the harness: sleeving by bundle diameter, shrink, boots, clamps, ties."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil, pi

from buildbook.catalogue.load import sleeves
from buildbook.harness.bundles import bundle_diameter_mm
from buildbook.harness.connector_home import home_of
from buildbook.harness.finishing import ConnectorBoot, FinishedRun
from buildbook.harness.joints import Joint
from buildbook.harness.model import Harness
from buildbook.harness.sleeves import fitting_sleeve
from buildbook.parts.take_off import TakeOff
from buildbook.parts.wire_needs import device_system, system_of
from buildbook.vehicle.model import Vehicle
from buildbook.words.say import mark, say

TIE_SPACING_M = 0.15
"""Distance between ties. Common practice, no source."""

END_SHRINK_M = 0.04
"""Adhesive heat-shrink that holds each end of a braided sleeve. Common practice, no source."""

SPLICE_SHRINK_M = 0.05
"""Adhesive heat-shrink over a splice or a cap. Common practice, no source."""

BRAID_SHARE = 0.10
"""Braid is cut longer than its run and milked along: it shortens as it widens. Common practice,
no source."""

CUT_TO_MM = 5
"""Sleeve is cut to the next so many mm."""

TAPE_WIDE_MM = 19.0
TAPE_LAYERS = 2.0
"""A tape laid over half of its last turn lies twice everywhere (geometry)."""

KEYS = {"braided sleeve": "sleeve", "heat-shrink": "heat-shrink", "tape": "tape"}
COVERS = {
    "braided sleeve": mark("Braided sleeve, {size}"),
    "heat-shrink": mark("Heat-shrink, {size}"),
    "tape": mark("Tape, {size}"),
}
"""What a kind of cover is called where it is bought."""


def covers(vehicle: Vehicle, dressed: Mapping[str, FinishedRun]) -> Iterator[TakeOff]:
    """Cover by each run's length and bundle, what holds its ends, its clamps and ties."""
    for run in vehicle.runs:
        piece = dressed.get(run.id)
        if piece is None:
            continue
        if piece.cover in KEYS:
            yield from _cover(piece, run.length_m)
        if run.clamps:
            size = piece.clamp.id if piece.clamp else f"round {piece.outside_mm:.0f} mm"
            what = say("Clamp, {size}", size=size_words(size))
            yield TakeOff(f"clamp {size}", what, run.clamps, "piece", run.harness)
        ties = int(run.length_m / TIE_SPACING_M)
        if ties:
            yield TakeOff("tie", say("Tie or lacing"), ties, "piece", run.harness)


def _cover(piece: FinishedRun, length_m: float) -> Iterator[TakeOff]:
    size = piece.sleeve.id if piece.sleeve else f"over {piece.bare_mm:.0f} mm"
    yield TakeOff(
        f"{KEYS[piece.cover]} {size}",
        say(COVERS[piece.cover], size=size_words(size)),
        cover_mm(piece, length_m) / 1000,
        "m",
        piece.harness,
    )
    if piece.cover == "braided sleeve":
        yield _heat_shrink(shrink_size(piece.outside_mm), 2 * END_SHRINK_M, piece.harness)


def cover_mm(piece: FinishedRun, length_m: float) -> int:
    """Length of sleeve or tape to cut for a run, mm; 0 without a cover."""
    length = {
        "braided sleeve": length_m * (1 + BRAID_SHARE),
        "heat-shrink": length_m,
        "tape": tape_m(length_m, piece.bare_mm),
        "none": 0.0,
    }[piece.cover]
    return CUT_TO_MM * ceil(1000 * length / CUT_TO_MM - 1e-6)


def shrink_size(around_mm: float) -> str:
    """Size of the adhesive heat-shrink that goes on over a diameter and closes down on it."""
    found = fitting_sleeve(sleeves().values(), "heat-shrink", around_mm)
    return found.id if found else f"round {around_mm:.0f} mm"


def size_words(size: str) -> str:
    """A size as it is said: of the catalogue, or what it has to go round where none there does."""
    word, _, width = size.partition(" ")
    if word == "round":
        return say("round {width}", width=width)
    return say("over {width}", width=width) if word == "over" else size


def _heat_shrink(size: str, length_m: float, harness: str, system: str = "") -> TakeOff:
    what = say("Adhesive heat-shrink, {size}", size=size_words(size))
    return TakeOff(f"heat-shrink {size}", what, length_m, "m", harness, system)


def splice_shrink(
    vehicle: Vehicle,
    harness: Harness,
    outside_mm: Mapping[str, float],
    joints: Mapping[str, Joint],
) -> Iterator[TakeOff]:
    """A piece of adhesive heat-shrink over every splice and cap that the harness lists."""
    for node in harness.heat_shrink:
        splice = harness.splices.get(node)
        wires = splice.wires if splice else (node.removesuffix(".cap"),)
        first = harness.wires[wires[0]]
        place = first.harness, system_of(vehicle, first)
        around = bundle_diameter_mm([outside_mm[w] for w in wires])
        joint = joints.get(node)
        yield _heat_shrink(*over_joint(joint, around), *place)
        if joint and joint.under:
            yield _heat_shrink(joint.under.id, joint.under_mm / 1000, *place)


def over_joint(joint: Joint | None, around_mm: float) -> tuple[str, float]:
    """Size and length in m of the shrink that a joint calls for; by diameter where it has none."""
    if joint is None or joint.sleeve is None:
        return shrink_size(around_mm), SPLICE_SHRINK_M
    return joint.sleeve.id, joint.sleeve_mm / 1000


def tape_m(length_m: float, bundle_mm: float) -> float:
    """Tape in m for a half-lapped bundle: its skin, twice, over the tape's width (geometry)."""
    return TAPE_LAYERS * length_m * pi * bundle_mm / TAPE_WIDE_MM


def connector_boots(
    vehicle: Vehicle, harness: Harness, booted: tuple[ConnectorBoot, ...]
) -> Iterator[TakeOff]:
    """A boot for every connector whose shell takes one."""
    for found in booted:
        connector = harness.connectors[found.connector]
        size = found.boot.id if found.boot else f"over {found.over_mm:.0f} mm"
        yield TakeOff(
            f"boot {size}",
            say("Moulded boot, {size}", size=size_words(size)),
            1,
            "piece",
            home_of(harness, connector),
            device_system(vehicle, connector),
        )
