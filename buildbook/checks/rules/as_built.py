"""Finds what the description would alter in a harness that exists."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.as_built.compare import Alteration, alterations
from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.description.read import AS_BUILT
from buildbook.problem import Where
from buildbook.sizing.as_built import as_built_now
from buildbook.words.say import in_figures, mark, say

RULE = "as-built"
SEVERITY = "warning or note"
SOURCE = f"{PRACTICE}: a harness is as it was built until somebody reworks it"

DIFFERS = {
    "removed": mark(
        "The harness was built at revision {revision}, and the circuit '{circuit}' is no longer "
        "described: {what}."
    ),
    "added": mark(
        "The harness was built at revision {revision}, and the circuit '{circuit}' is new: {what}."
    ),
    "changed": mark(
        "The harness was built at revision {revision}, and the circuit '{circuit}' differs: {what}."
    ),
}


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
        what = "; ".join([*found.what, *thin.get(name, ())])
        yield Finding(
            RULE,
            "note" if found.kind == "added" else "warning",
            name,
            say(DIFFERS[found.kind], revision=old.revision, circuit=name, what=what),
            say(
                "Rework the harness and record it again (buildbook record --rework), "
                "or take the change back."
            ),
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
                phrases.append(
                    say(
                        "wire {wire} of {size} would be {now_mm2:g} mm2 now",
                        wire=id_,
                        size=in_figures(sized.label),
                        now_mm2=limit.value,
                    )
                )
            elif limit.name == "drop":
                phrases.append(
                    say(
                        "wire {wire} of {size} is on a path that loses {lost_v:.3f} V where "
                        "{allowed_v:.3f} V are allowed",
                        wire=id_,
                        size=in_figures(sized.label),
                        lost_v=limit.value,
                        allowed_v=limit.allowed,
                    )
                )
        if phrases:
            found.setdefault(assessed.harness.wires[id_].circuit, []).extend(phrases)
    return found
