"""What does not come to rest: contacts that buzz, and in which states."""

from __future__ import annotations

from collections.abc import Collection

from buildbook.electrical.model import Solved
from buildbook.vehicle.model import Device, Vehicle


def restless_states(solved: Solved) -> dict[str, list[str]]:
    """Branch id of each contact, source or supply that does not come to rest -> its states."""
    found: dict[str, list[str]] = {}
    for solutions in (solved.meter, solved.heating):
        for state, solution in solutions.items():
            for part in sorted(solution.unsettled):
                if state not in found.setdefault(part, []):
                    found[part].append(state)
    return found


def buzzes_in(device: Device, solved: Solved) -> list[str]:
    """States in which a contact or source of a device does not come to rest."""
    restless = restless_states(solved)
    parts = [f"contact:{contact.id}" for contact in device.contacts]
    parts += [f"source:{source.id}" for source in device.sources]
    return list(dict.fromkeys(state for part in parts for state in restless.get(part, ())))


def devices_that_buzz(vehicle: Vehicle, unsettled: Collection[str]) -> tuple[str, ...]:
    """Ids of the devices of branches that do not come to rest; sources of the supply as such."""
    found = [
        device.id
        for device in vehicle.devices.values()
        if any(f"contact:{contact.id}" in unsettled for contact in device.contacts)
        or any(f"source:{source.id}" in unsettled for source in device.sources)
    ]
    supply = [source.id for source in vehicle.supply.sources if source.id in unsettled]
    return tuple(dict.fromkeys([*found, *supply]))
