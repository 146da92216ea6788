"""The pieces of harness with the wire that was chosen, and the lengths that follow from them."""

from __future__ import annotations

from buildbook.catalogue.load import barrels, sleeves
from buildbook.catalogue.model import Conductor
from buildbook.harness.cables import cable_types
from buildbook.harness.finishing import (
    ConnectorBoot,
    FinishedRun,
    connector_boots,
    finish_runs,
    lay_ups,
    with_take_up,
)
from buildbook.harness.joints import Joint, joints
from buildbook.harness.model import Harness
from buildbook.sizing.model import Sizing, WireSizing
from buildbook.vehicle.model import Vehicle


def conductor_of(vehicle: Vehicle, sized: WireSizing) -> Conductor:
    """The catalogue's row of a chosen wire."""
    family = vehicle.wire_families[sized.family]
    return next(c for c in family.conductors if c.label == sized.label)


def outside_mm(vehicle: Vehicle, sizing: Sizing) -> dict[str, float]:
    """Wire id -> outside diameter in mm with its insulation."""
    return {id_: conductor_of(vehicle, s).outside_mm for id_, s in sizing.wires.items()}


def finished_runs(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> dict[str, FinishedRun]:
    """Run id -> the piece of harness along it, as thick and heavy as its chosen wires make it."""
    chosen = {id_: conductor_of(vehicle, s) for id_, s in sizing.wires.items()}
    return finish_runs(
        vehicle,
        harness,
        {id_: conductor.outside_mm for id_, conductor in chosen.items()},
        {id_: conductor.kg_per_m for id_, conductor in chosen.items()},
    )


def joints_of(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> dict[str, Joint]:
    """Splice id -> barrel and sleeve for its chosen wires."""
    chosen = {id_: conductor_of(vehicle, s) for id_, s in sizing.wires.items()}
    return joints(harness, chosen, tuple(barrels().values()), sleeves().values())


def boots_of(vehicle: Vehicle, harness: Harness, sizing: Sizing) -> tuple[ConnectorBoot, ...]:
    """The boot of every connector whose plug says how wide its shell is."""
    return connector_boots(harness, outside_mm(vehicle, sizing), cable_types(vehicle))


def with_layer_lengths(
    vehicle: Vehicle, harness: Harness, sizing: Sizing, at_least: bool = False
) -> Harness:
    """The harness with the lengths that its own layers take up; unchanged where none is twisted.

    With `at_least` no wire gets shorter. Wires that `sizing` does not know leave it as it is.
    """
    twisted = any(run.concentric for run in vehicle.runs)
    if not twisted or harness.wires.keys() != sizing.wires.keys():
        return harness
    found = lay_ups(vehicle, harness, outside_mm(vehicle, sizing))
    return with_take_up(vehicle, harness, found, at_least)
