"""Finds the one thing in the wiring after which loads would do what is written of them."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.joints import near_pins
from buildbook.checks.meant import Meant, Wrong
from buildbook.checks.mend_edits import edits_of
from buildbook.checks.mends import Answer, mends_of
from buildbook.checks.mends_of_entries import Mend
from buildbook.checks.model import Finding
from buildbook.checks.naming import called, first_up, quoted
from buildbook.checks.places import where_of_pin, written_at
from buildbook.checks.stages import Assessed
from buildbook.checks.standing import AS_IT_IS, Bench
from buildbook.problem import Where
from buildbook.vehicle.model import Vehicle
from buildbook.words.joined import few_of
from buildbook.words.say import say, say_n

RULE = "not-as-meant"
SEVERITY = "error or warning"
SOURCE = (
    "this description: the states that a draw names (in), and what each change to the wiring makes "
    "of them, tried on joints without ohms"
)
MOST_ROUNDS = 4
"""Changes one after another; more than these are told load by load."""
MOST_NAMED = 3
MOST_OTHERS = 2


def check(assessed: Assessed) -> Iterator[Finding]:
    """Each round takes the change that puts most right, and goes on with what is left."""
    vehicle = assessed.vehicle
    meant = Meant(Bench(vehicle))
    done = AS_IT_IS
    wrong, _, _ = meant.wrong(vehicle.states)
    for _ in range(MOST_ROUNDS):
        if not wrong:
            return
        bench = meant.bench.with_joins(done.joins)
        answer = mends_of(meant, wrong, near_pins(bench, _pins(vehicle, wrong)), done)
        if not answer.mends or answer.left >= len(wrong):
            return
        best = answer.mends[0]
        done = done.with_also(best.mended)
        after, _, _ = meant.wrong(vehicle.states, done)
        yield _finding(vehicle, best, answer, [w for w in wrong if w not in after])
        wrong = after


def _pins(vehicle: Vehicle, wrong: list[Wrong]) -> list[str]:
    named = {w.load for w in wrong}
    return [
        pin
        for device in vehicle.devices.values()
        for load in device.loads
        if load.id in named
        for pin in (load.from_pin, load.to_pin)
    ]


def _finding(vehicle: Vehicle, best: Mend, answer: Answer, cured: list[Wrong]) -> Finding:
    dead = [w for w in cured if w.dead]
    runs = [w for w in cured if not w.dead]
    said = [_said(vehicle, wrong) for wrong in (dead, runs) if wrong]
    return Finding(
        RULE,
        "error" if dead else "warning",
        best.pins[0],
        say(
            "It looks as if {wrong}: so {said}.",
            wrong=best.wrong,
            said="; ".join(said),
        ),
        _remedy(best, answer, cured),
        SOURCE,
        _where(vehicle, best),
        edits=edits_of(vehicle, best.mended),
        explains=_explained(vehicle, best, cured),
    )


def _remedy(best: Mend, answer: Answer, cured: list[Wrong]) -> str:
    """The change, others that do as much, and how sure that is."""
    ways = first_up(best.says)
    for mend in answer.mends[1 : 1 + MOST_OTHERS]:
        ways = say("{ways}; or {other}", ways=ways, other=mend.says)
    said = [f"{ways}."]
    if cured:
        said.append(say("Tried on the model: then all of it does what is written."))
    if answer.tried != answer.of:
        said.append(say("{tried} of {of} changes tried.", tried=answer.tried, of=answer.of))
    return " ".join(said)


def _explained(vehicle: Vehicle, best: Mend, cured: list[Wrong]) -> tuple[str, ...]:
    """The loads, what is changed, and the contacts of relays whose coils are among the loads."""
    loads = dict.fromkeys(w.load for w in cured)
    contacts = [
        contact.id
        for device in vehicle.devices.values()
        if any(load.id in loads for load in device.loads)
        for contact in device.contacts
    ]
    return (*loads, *best.pins, *best.mended.joins, *contacts)


def _said(vehicle: Vehicle, wrong: list[Wrong]) -> str:
    """What is dead, or runs, and in which states."""
    titles = {load.id: d.title for d in vehicle.devices.values() for load in d.loads}
    loads = list(dict.fromkeys(w.load for w in wrong))
    states = list(dict.fromkeys(w.state for w in wrong if w.state))
    names = few_of([called(titles[load], load) for load in loads], MOST_NAMED)
    what = (
        say_n(
            "{loads} does not work where it should",
            "{loads} do not work where it should",
            len(loads),
            loads=names,
        )
        if wrong[0].dead
        else say_n(
            "{loads} runs where it should not",
            "{loads} run where it should not",
            len(loads),
            loads=names,
        )
    )
    if not states:
        return what
    in_states, rest = quoted(states[:MOST_NAMED]), len(states) - MOST_NAMED
    if rest > 0:
        in_states = say("{states} and {n} more states", states=in_states, n=rest)
    return say("{what} (in {states})", what=what, states=in_states)


def _where(vehicle: Vehicle, mend: Mend) -> Where:
    """The entry that would be changed: a fuse's bus, a contact's states, else the pin's place."""
    about = mend.pins[0]
    for device in vehicle.devices.values():
        switches = [c for c in device.contacts if c.kind == "switch"]
        for index, contact in enumerate(switches):
            if contact.id == about:
                return written_at(vehicle, "devices", device.id, "contacts", index, "closed")
    if about in vehicle.devices:
        return written_at(vehicle, "devices", about, "bus")
    return where_of_pin(vehicle, about)
