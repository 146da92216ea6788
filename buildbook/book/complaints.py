"""What drivers say, as printed: where each may lead, what is not electrical, the readings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildbook.book.fault_trees import PrintedStep, lines_of, onward
from buildbook.book.fault_wording import hazards, sign_words
from buildbook.book.shared_rows import unique
from buildbook.faultfinding.model import Cause, ComplaintPatterns, Pattern
from buildbook.result import Result
from buildbook.vehicle.model import Sign
from buildbook.words.say import say


@dataclass(frozen=True)
class PrintedLead:
    """'27 %: No. 34', the heading there, and how much else it upsets."""

    percent: int
    number: int
    anchor: str
    heading: str
    beside: int


@dataclass(frozen=True)
class PrintedPattern:
    """One pattern: what tells it from the others ('' where it is the only one), leads, readings."""

    seen: str
    leads: tuple[PrintedLead, ...]
    others: int
    state: str
    lines: tuple[PrintedStep, ...]


@dataclass(frozen=True)
class Complaint:
    """A named symptom as printed; `number` and `anchor` are those of the place to turn to."""

    name: str
    about: str
    number: int
    anchor: str
    own: bool
    """False where another symptom's tree carries its name."""
    state: str
    cautions: tuple[str, ...]
    causes: tuple[Cause, ...]
    patterns: tuple[PrintedPattern, ...]


Place = tuple[int, str]
"""Number and heading of a symptom."""


def likely_words() -> dict[str, str]:
    """How often what is not electrical is behind a complaint: as described, and as printed."""
    return {"often": say("often"), "sometimes": say("sometimes"), "seldom": say("seldom")}


def complaints(
    result: Result, place_of: Mapping[str, Place], first: int = 1
) -> tuple[Complaint, ...]:
    """The author's complaints; those that have no tree of another are numbered from `first`."""
    whose = {s.called: s for s in result.faultfinding.symptoms if s.called}
    found, number = [], first
    for index, named in enumerate(result.faultfinding.complaints, 1):
        there = whose.get(named.name)
        if there is not None:
            found.append(
                Complaint(
                    named.name,
                    named.about,
                    place_of[there.id][0],
                    there.id,
                    False,
                    there.state,
                    (),
                    (),
                    (),
                )
            )
            continue
        patterns = tuple(
            printed_pattern(result, pattern, place_of, len(named.patterns) > 1)
            for pattern in named.patterns
        )
        state = next((first_seen(result, pattern) for pattern in named.patterns), "")
        found.append(
            Complaint(
                named.name,
                named.about,
                number,
                f"complaint-{index}",
                True,
                state,
                cautions_of(result, named),
                named.causes,
                patterns,
            )
        )
        number += 1
    return tuple(found)


def count_with_own_tree(result: Result) -> int:
    """How many of the author's complaints stand for themselves."""
    called = {s.called for s in result.faultfinding.symptoms}
    return sum(named.name not in called for named in result.faultfinding.complaints)


def printed_pattern(
    result: Result, pattern: Pattern, place_of: Mapping[str, Place], several: bool
) -> PrintedPattern:
    """A pattern in words: the leads, best first, and the readings that part them."""
    leads = tuple(
        PrintedLead(
            round(100 * lead.share),
            place_of[lead.symptom][0],
            lead.symptom,
            place_of[lead.symptom][1],
            lead.beside,
        )
        for lead in pattern.leads
    )
    behind = {fault: lead.symptom for lead in pattern.leads for fault in lead.faults}
    symptoms = {s.id: s for s in result.faultfinding.symptoms}
    state = pattern.steps[0].state if pattern.steps else symptoms[pattern.leads[0].symptom].state

    def to(at: int, left: tuple[str, ...]) -> str:
        numbers = unique(str(place_of[behind[fault]][0]) for fault in left)
        lead = say("No. {numbers}", numbers=", ".join(numbers))
        return onward(pattern.steps, at, left) or lead

    seen = say(" or ").join(unique(sign_words(result, x) for x in pattern.signs)) if several else ""
    return PrintedPattern(
        seen, leads, pattern.others, state, lines_of(result, pattern.steps, state, to)
    )


def cautions_of(result: Result, named: ComplaintPatterns) -> tuple[str, ...]:
    """Of the causes, the things named and the readings; the leads' parts have theirs at trees."""
    devices = {x.id: d for d in result.vehicle.devices.values() for x in d.loads}
    signs = [sign for pattern in named.patterns for sign in pattern.signs]
    loads = [load for sign in signs for load in seen_in(sign) if not sign.everything]
    found: list[str | None] = [devices[load].written.caution for load in loads]
    found += [kind for pattern in named.patterns for kind in hazards(result, pattern.steps, ())]
    found = [*(cause.caution for cause in named.causes), *found]
    return unique(kind for kind in found if kind)


def seen_in(sign: Sign) -> tuple[str, ...]:
    """The loads that a sign says something is wrong with, in its order."""
    things = (*sign.dead, *sign.weak, *sign.stuck_on, *sign.reads_wrong)
    return tuple(load for named in things for load in named)


def first_seen(result: Result, pattern: Pattern) -> str:
    """The state in which the best lead shows it, the engine still where one does."""
    best = pattern.leads[0]
    wrong = {load for sign in pattern.signs for load in seen_in(sign)}
    said = {state for sign in pattern.signs for state in sign.states}
    effects = result.faultfinding.effects[best.faults[0]]
    states = {e.state for e in effects if e.load in wrong and e.state in said}
    if not states:
        return next(s.state for s in result.faultfinding.symptoms if s.id == best.symptom)
    written = result.vehicle.description.states
    return min((s for s in written if s in states), key=lambda state: written[state].engine)
