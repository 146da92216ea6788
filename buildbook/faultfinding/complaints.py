"""What a driver says, in the author's words: the symptoms that it may lead to, best first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from math import fsum

from buildbook.faultfinding.breaking import is_worse
from buildbook.faultfinding.faults import weight
from buildbook.faultfinding.model import (
    Blown,
    Cause,
    ComplaintPatterns,
    Effect,
    Fault,
    Lead,
    Pattern,
    Step,
    Symptom,
)
from buildbook.faultfinding.questions import HIDDEN
from buildbook.vehicle.model import Complaint, Sign, Vehicle

WEIGHTS = {"often": 8.0, "sometimes": 3.0, "seldom": 1.0}
"""How often a cause that is not electrical is behind it, on the scale of the parts: as often as
one pin, one contact, one wire. Our choice."""

LEAST_SHARE = 0.02
"""Leads that are less likely are only counted: most upset so much besides that the driver would
have said something else. Our choice."""

EffectAt = Mapping[tuple[str, str], str]
"""Load and state -> effect of one fault."""
PartSuspects = Callable[[Sequence[Fault], Mapping[str, str]], tuple[Step, ...]]
"""Gives the readings that part faults, as far as they are of different symptoms."""
OverLoads = Callable[[Iterable[bool]], bool]
"""`all` or `any`."""


def complaint_patterns(
    vehicle: Vehicle,
    works_in: Mapping[str, frozenset[str]],
    effects: Mapping[str, Sequence[Effect]],
    blown: Mapping[str, Sequence[Blown]],
    faults: Mapping[str, Fault],
    symptoms: Sequence[Symptom],
    part: PartSuspects,
) -> tuple[ComplaintPatterns, ...]:
    """Every complaint that the author wrote; `works_in`: load -> states in which it works well.

    A joint is a suspect at the resistance at which it is first seen: worse ones have a line of
    their own for when no other fits.
    """
    behind = {f: s.id for s in symptoms for f in s.suspects if not is_worse(faults[f])}
    seen = {f: {(e.load, e.state): e.effect for e in effects[f]} for f in behind}
    found = []
    for named in vehicle.complaints:
        patterns = []
        for signs in _patterns(vehicle, named):
            weights: dict[str, float] = {}
            beside: dict[str, int] = {}
            for fault, what in seen.items():
                shows = [s for s in signs if shows_sign(s, what, blown.get(fault, ()), works_in)]
                if shows:
                    beside[fault] = min(_beside(vehicle, sign, what) for sign in shows)
                    weights[fault] = weight(faults[fault], beside[fault])
            if weights:
                patterns.append(_pattern(signs, weights, beside, behind, faults, part))
        found.append(
            ComplaintPatterns(named.name, named.written.about, tuple(patterns), causes_of(named))
        )
    return tuple(found)


def called(symptoms: Iterable[Symptom], named: Iterable[ComplaintPatterns]) -> tuple[Symptom, ...]:
    """The symptoms, each that one complaint leads to alone called by its name."""
    names: dict[str, str] = {}
    for one in named:
        leads = [lead.symptom for pattern in one.patterns for lead in pattern.leads]
        if len(leads) == 1:
            names.setdefault(leads[0], one.name)
    return tuple(replace(symptom, called=names.get(symptom.id, "")) for symptom in symptoms)


def shows_sign(
    sign: Sign, seen: EffectAt, blown: Sequence[Blown], works_in: Mapping[str, frozenset[str]]
) -> bool:
    """Whether a fault does all that a sign says.

    A thing is dead where all of it is that should work, in every state named in which any of
    it should; a sensor is never dead to see: it reads wrong.
    """
    if sign.blows:
        same = {b.fuse for b in blown if b.fuse} == sign.blows
        if not same or (sign.only_in and {b.state for b in blown} != sign.states):
            return False

    def does(
        things: Iterable[Sequence[str]],
        kinds: tuple[str, ...],
        how: OverLoads,
    ) -> bool:
        for loads in things:
            asked = [
                how(seen.get((x, state), "") in kinds for x in loads if state in works_in[x])
                for state in sign.states
                if any(state in works_in[x] for x in loads)
            ]
            if not asked or not all(asked):
                return False
        return True

    upset = any(
        seen.get((load, state)) for loads in sign.works for load in loads for state in sign.states
    )
    return (
        not upset
        and does(sign.dead, ("dead", "wrong reading"), all)
        and does(sign.weak, ("weak", "wrong reading"), any)
        and does(sign.reads_wrong, ("wrong reading",), any)
        and all(_stuck(loads, sign, seen) for loads in sign.stuck_on)
    )


def _stuck(loads: Sequence[str], sign: Sign, seen: EffectAt) -> bool:
    """Stuck on in every state named; where none is named, in any."""
    on = {state for load in loads for state in sign.states if seen.get((load, state)) == "stuck on"}
    return on >= sign.states if sign.only_in else bool(on)


def _beside(vehicle: Vehicle, sign: Sign, seen: EffectAt) -> int:
    """Devices that a driver notices, upset in the states of a sign that says nothing of them."""
    device = {x.id: d.id for d in vehicle.devices.values() for x in d.loads}
    hidden = {d.id for d in vehicle.devices.values() if d.kind in HIDDEN}
    said = (*sign.dead, *sign.weak, *sign.stuck_on, *sign.reads_wrong)
    told = {device[load] for loads in said for load in loads}
    return len({device[load] for load, state in seen if state in sign.states} - told - hidden)


def _patterns(vehicle: Vehicle, named: Complaint) -> list[list[Sign]]:
    """The signs of a symptom, those put together that differ only in what nobody sees work."""
    kind = {x.id: d.kind for d in vehicle.devices.values() for x in d.loads}

    def plain(things: Iterable[Sequence[str]]) -> frozenset[str]:
        return frozenset(x for loads in things for x in loads if kind[x] not in HIDDEN)

    found: dict[tuple[object, ...], list[Sign]] = {}
    for sign in named.signs:
        things = (sign.dead, sign.weak, sign.stuck_on, sign.reads_wrong, sign.works)
        key = (*(plain(x) for x in things), sign.blows, sign.states)
        found.setdefault(key, []).append(sign)
    return list(found.values())


def _pattern(
    signs: Sequence[Sign],
    weights: Mapping[str, float],
    beside: Mapping[str, int],
    behind: Mapping[str, str],
    faults: Mapping[str, Fault],
    part: PartSuspects,
) -> Pattern:
    total = fsum(weights.values())
    groups: dict[str, list[str]] = {}
    for fault in sorted(weights, key=lambda f: (-weights[f], f)):
        groups.setdefault(behind[fault], []).append(fault)
    leads = [
        Lead(symptom, tuple(ids), fsum(weights[f] for f in ids) / total, beside[ids[0]])
        for symptom, ids in groups.items()
    ]
    leads.sort(key=lambda lead: (-lead.share, lead.symptom))
    likely = [lead for lead in leads if lead.share >= LEAST_SHARE]
    suspects = [faults[fault] for lead in likely for fault in lead.faults]
    steps = part(suspects, behind) if len(likely) > 1 else ()
    return Pattern(tuple(signs), tuple(likely), steps, len(leads) - len(likely))


def causes_of(named: Complaint) -> tuple[Cause, ...]:
    """Causes that are not electrical, likeliest first."""
    found = [
        Cause(c.what, c.check, c.likely, WEIGHTS[c.likely], c.caution or "")
        for c in named.written.causes
    ]
    return tuple(sorted(found, key=lambda cause: -cause.weight))
