"""Finds what the description would alter in a harness that exists."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.as_built.compare import Alteration, alterations
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.description.read import AS_BUILT
from buildbook.problem import Where
from buildbook.sizing.as_built import as_built_now

RULE = "as-built"
SEVERITY = "warning or note"
SOURCE = f"{PRACTICE}: a harness is as it was built until somebody reworks it"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Compare the record with what is worked out now, one finding a circuit."""
    old = assessed.vehicle.as_built
    if old is None:
        return
    new = as_built_now(assessed.vehicle, assessed.harness, assessed.sizing)
    altered = {found.circuit: found for found in alterations(old, new)}
    thin = _too_thin(assessed)
    for name in dict.fromkeys([*altered, *thin]):
        found = altered.get(name, Alteration(name, "changed", (), ()))
        circuit = assessed.vehicle.circuits.get(name)
        verb = {"removed": "is no longer described", "added": "is new"}.get(found.kind, "differs")
        what = "; ".join([*found.what, *thin.get(name, ())])
        yield Finding(
            RULE,
            "note" if found.kind == "added" else "warning",
            name,
            f"The harness was built at revision {old.revision}, and the circuit '{name}' {verb}: "
            f"{what}.",
            "Rework the harness and record it again (buildbook record --rework), or take the "
            "change back.",
            SOURCE,
            circuit.where if circuit else Where(AS_BUILT),
        )


def _too_thin(assessed: Assessed) -> dict[str, list[str]]:
    """Circuit -> phrases for wires that exist and carry or lose more than their size allows."""
    found: dict[str, list[str]] = {}
    for id_, sized in assessed.sizing.wires.items():
        unmet = [limit for limit in sized.limits if not limit.met]
        phrases = []
        for limit in unmet if sized.governing == "as built" else ():
            if limit.name == "as built":
                phrases.append(f"wire {id_} of {sized.label} would be {limit.value:g} mm2 now")
            elif limit.name == "drop":
                phrases.append(
                    f"wire {id_} of {sized.label} is on a path that loses {limit.value:.3f} V "
                    f"where {limit.allowed:.3f} V are allowed"
                )
        if phrases:
            found.setdefault(assessed.harness.wires[id_].circuit, []).extend(phrases)
    return found
