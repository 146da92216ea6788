"""The diagnosis step by step: the symptoms' trees as questions, answers and suspects."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from buildbook.book.chapters.troubleshooting import SymptomRow, grouped
from buildbook.book.complaints import cautions_of, likely_words
from buildbook.book.fault_trees import reading_words
from buildbook.book.fault_wording import (
    described,
    hazards,
    how_read,
    loads,
    probe_place,
    thing_words,
)
from buildbook.book.fault_wording import sign_words as words_of_sign
from buildbook.book.opening import cure_of
from buildbook.book.shared_rows import unique
from buildbook.book.state_wording import charging_words
from buildbook.faultfinding.intermittent import reason_words, wiggles
from buildbook.faultfinding.model import ComplaintPatterns, Entry, Lead, Pattern, Step
from buildbook.phone.cards import Row, filled
from buildbook.phone.meter import reading_words as healthy_words
from buildbook.phone.words import point_words
from buildbook.result import Result
from buildbook.words.joined import either_of
from buildbook.words.say import say

To = list[Any]
"""Where an answer leads: ['ask', number], ['end', number] or ['choose', symptom ids]."""


class Questions:
    """All questions and endings of a vehicle, each kept once and known by its number."""

    def __init__(self, result: Result) -> None:
        self._result = result
        self._state = {name: place for place, name in enumerate(result.vehicle.states)}
        self._asked: dict[str, int] = {}
        self._ended: dict[tuple[str, ...], int] = {}
        self._suspect: dict[str, int] = {}
        self._symptom_of = {f: s.id for s in result.faultfinding.symptoms for f in s.suspects}
        self.asks: list[Row] = []
        self.ends: list[list[int]] = []
        self.suspects: list[Row] = []

    def table(self) -> Row:
        """Everything that the script walks through."""
        groups = [
            [title, [self._symptom(row) for row in rows]]
            for title, rows in grouped(self._result).items()
        ]
        finding = self._result.faultfinding
        entered = {entry.name for entry in finding.entries}
        return {
            "groups": groups,
            "entries": [self._entry(entry) for entry in finding.entries],
            "said": [self._complaint(c) for c in finding.complaints if c.name not in entered],
            "asks": self.asks,
            "ends": self.ends,
            "suspects": self.suspects,
        }

    def _entry(self, entry: Entry) -> Row:
        """A line of what drivers say: where to begin, and where to wiggle if it comes and goes."""
        result = self._result
        about = {c.name: c.about for c in result.faultfinding.complaints}
        dangers = [cause.caution for cause in entry.causes if cause.caution]
        return filled(
            {
                "name": entry.name,
                "group": say(entry.group),
                "about": about.get(entry.name, ""),
                "state": entry.state,
                "cautions": unique([*dangers, *hazards(result, entry.steps[:1], ())]),
                "causes": [self._cause(cause) for cause in entry.causes],
                "less": entry.less_likely,
                "wiggle": self._wiggle(entry),
                "to": self._follow(entry.steps, entry.suspects),
            }
        )

    def _wiggle(self, entry: Entry) -> list[list[str]]:
        """Places to wiggle, the likeliest first: how each is called, where it is, and why there."""
        known, result = self._result.faultfinding.faults, self._result
        spots = wiggles(result.vehicle, result.harness, [known[f] for f in entry.suspects])
        return [
            [
                spot.where,
                point_words(result, spot.point) if spot.point else "",
                ", ".join(reason_words(why) for why in spot.why),
            ]
            for spot in spots
        ]

    def _symptom(self, row: SymptomRow) -> Row:
        """A symptom: what is seen, what to beware of, and where to begin."""
        symptom = row.symptom
        known = loads(self._result)
        return filled(
            {
                "id": symptom.id,
                "heading": row.heading,
                "state": symptom.state,
                "devices": unique(known[effect.load].device for effect in symptom.effects),
                "cautions": list(row.cautions),
                "causes": [self._cause(cause) for cause in row.causes],
                "follows": [*charging_words(symptom), *row.follows],
                "blows": list(symptom.blows),
                "blows_in": list(symptom.blows_in),
                "to": self._follow(symptom.steps, symptom.suspects),
            }
        )

    def _cause(self, cause: Any) -> Row:
        likely = likely_words()[cause.likely]
        return {"what": cause.what, "check": cause.check, "likely": likely}

    def _complaint(self, named: ComplaintPatterns) -> Row:
        """What a driver says: each pattern with the symptoms that it may be."""
        several = len(named.patterns) > 1
        return filled(
            {
                "name": named.name,
                "about": named.about,
                "cautions": list(cautions_of(self._result, named)),
                "causes": [self._cause(cause) for cause in named.causes],
                "looks": [self._look(pattern, several) for pattern in named.patterns],
            }
        )

    def _look(self, pattern: Pattern, several: bool) -> Row:
        seen = unique(words_of_sign(self._result, sign) for sign in pattern.signs)
        return filled(
            {
                "seen": either_of(seen) if several else "",
                "leads": [[lead.symptom, round(100 * lead.share)] for lead in pattern.leads],
                "others": pattern.others,
                "to": self._between(pattern.steps, pattern.leads),
            }
        )

    def _between(self, steps: Sequence[Step], leads: Sequence[Lead]) -> To:
        """Readings that part symptoms; each way ends at one of them, or at a choice."""
        behind = {fault: lead.symptom for lead in leads for fault in lead.faults}
        faults = tuple(behind)

        def end(left: Iterable[str]) -> To:
            return ["choose", unique(behind[fault] for fault in left)]

        return self._way({frozenset((*s.low, *s.high)): s for s in steps}, faults, end)

    def _follow(self, steps: Sequence[Step], suspects: Sequence[str]) -> To:
        return self._way({frozenset((*s.low, *s.high)): s for s in steps}, suspects, self._end)

    def _way(self, steps: Mapping[frozenset[str], Step], left: Sequence[str], end: Any) -> To:
        """Where these suspects lead: to the step that parts them, else to the end."""
        step = steps.get(frozenset(left))
        if step is None:
            return list(end(left))
        row = self._ask(step)
        row |= {
            "low": self._answer(step, 0, self._way(steps, step.low, end)),
            "high": self._answer(step, 1, self._way(steps, step.high, end)),
            "left": [self._number(fault) for fault in left],
        }
        number = self._asked.setdefault(repr(row), len(self.asks))
        if number == len(self.asks):
            self.asks.append(row)
        return ["ask", number]

    def _ask(self, step: Step) -> Row:
        """A question: what to do, where, in which state, and what a healthy car shows."""
        result, node = self._result, step.node
        if not step.by_meter:
            return self._by_hand(step)
        pins, harness = result.vehicle.pins, result.harness
        pin = node.removesuffix("~")
        row: Row = {"what": step.what, "where": probe_place(result, node) + how_read(step)}
        if step.what.startswith("bus"):
            row["across"] = probe_place(result, step.other)
            row["unplug"] = "unplugged" in step.what and pins[pin].device
        if step.what == "volts":
            row["state"] = self._state[step.state]
            row["well"] = healthy_words(result.readings[step.state].at(node))
        if pin in pins or "/" in pin:
            row["card"] = ["pin", pin]
        elif pin in harness.splices:
            row["card"] = ["splice", pin]
        row["cautions"] = list(hazards(result, (step,), ()))
        return filled(row)

    def _by_hand(self, step: Step) -> Row:
        """A question of eyes, ears and hands: of what, from which state or for which like one."""
        result, devices = self._result, self._result.vehicle.devices
        known = [devices[name] for name in step.node.split(",") if name in devices]
        where = ", ".join(f"{d.title} ({d.id})" for d in known)
        if step.what == "look":
            where = thing_words(result, (step.node,))
        row: Row = {"what": step.what, "where": where, "other": step.other}
        row["state"] = self._state[step.state]
        if step.what == "swap" and step.other:
            row["other"] = f"{devices[step.other].title} ({step.other})"
        if len(known) == 1:
            row["card"] = ["device", known[0].id]
        row["cautions"] = list(hazards(result, (step,), ()))
        return filled(row)

    def _answer(self, step: Step, high: int, to: To) -> Row:
        """A reading in words and as a value, whether a healthy car shows it, where it leads."""
        value = (step.low_v, step.high_v)[high]
        row: Row = {"words": reading_words(step)[high], "value": round(value, 4), "to": to}
        if of := (step.low_range, step.high_range)[high]:
            row["of"] = [round(end, 4) for end in of]
        if step.what == "volts":
            healthy = self._result.readings[step.state].at(step.node)
            row["well"] = healthy is not None and healthy.kind == "steady" and healthy.fits(value)
        return filled(row)

    def _end(self, left: Sequence[str]) -> To:
        number = self._ended.setdefault(tuple(left), len(self.ends))
        if number == len(self.ends):
            self.ends.append([self._number(fault) for fault in left])
        return ["end", number]

    def _number(self, name: str) -> int:
        if name not in self._suspect:
            self._suspect[name] = len(self.suspects)
            self.suspects.append(self._row_of(name))
        return self._suspect[name]

    def _row_of(self, name: str) -> Row:
        """A suspect: what is wrong with which part, and the card of that part."""
        result = self._result
        fault = result.faultfinding.faults[name]
        ref = fault.branch.partition(":")[2] or fault.branch
        device = ref.partition(".")[0]
        row: Row = {
            "says": described(result, fault) if fault.mode == "open" else fault.title,
            "cure": cure_of(result, fault),
            "symptom": self._symptom_of.get(name, ""),
            "cautions": list(hazards(result, (), (name,))),
        }
        if ref in result.harness.wires:
            row["card"] = ["wire", ref]
        elif ref in result.vehicle.pins or "/" in ref:
            row["card"] = ["pin", ref]
        elif ref in result.harness.splices:
            row["card"] = ["splice", ref]
        elif device in result.vehicle.devices:
            row["card"] = ["device", device]
        return filled(row)
