"""What does not come to rest: contacts that buzz, and in which states."""

from __future__ import annotations

from buildbook.electrical.model import Solved
from buildbook.vehicle.model import Device


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
