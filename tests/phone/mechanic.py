"""A mechanic who knows only what the phone shows, and a meter on a car with one part broken."""

from __future__ import annotations

import re
from dataclasses import dataclass

from buildbook.book.chapters.troubleshooting import grouped
from buildbook.book.fault_wording import described, loads, probe_place, thing_words
from buildbook.faultfinding.access import probe_places

MOST_STEPS = 30
BY_HAND = {"Look": "look", "Listen": "click", "Change it": "swap", "Feel": "feel"}
"""Headings of what is asked of eyes, ears and hands."""
SWINGS = ", the middle of its swing"


@dataclass(frozen=True)
class Ended:
    """What the phone named in the end, and what was asked on the way."""

    suspects: tuple[str, ...]
    asked: tuple[str, ...]
    """Of each question what it took: 'Measure', 'Measure ohms', …"""


class Mechanic:
    """Finds places by their words, sets the meter as told, and types what it shows."""

    def __init__(self, page, result) -> None:
        self.page, self.result = page, result
        nodes = probe_places(result.vehicle, result.harness)
        self.node_of = {probe_place(result, node): node for node in nodes}
        assert len(self.node_of) == len(nodes), "two places are called the same"
        self.loads_of = {}
        for load in loads(result):
            self.loads_of.setdefault(thing_words(result, (load,)), []).append(load)
        self.heading_of = {
            row.symptom.id: row.heading for rows in grouped(result).values() for row in rows
        }

    def named(self, fault) -> str:
        """What the phone calls a fault."""
        words = described(self.result, fault) if fault.mode == "open" else fault.title
        return words[:1].upper() + words[1:]

    def finds(self, symptom: str, car) -> Ended:
        """Pick a symptom from the list by what it says, and follow it to the end."""
        page = self.page
        page.go("#/fault")
        heading = self.heading_of[symptom]
        page.type("#seen", heading)
        page.tap(f"main a.row[href='#/symptom/{symptom}']", heading)
        assert page.text("h1") == heading
        asked = []
        while page.run("!!document.querySelector('.ask')"):
            asked.append(page.text(".ask h2"))
            assert len(asked) <= MOST_STEPS
            self.answer(car)
        return Ended(tuple(self.suspects()), tuple(asked))

    def suspects(self) -> list[str]:
        """Suspects as they are named at the end, likeliest first."""
        return self.page.run("[...document.querySelectorAll('.found h3')].map(e => e.innerText)")

    def answer(self, car) -> None:
        """Do what the question says, and type what the meter shows."""
        where = self.page.run("[...document.querySelectorAll('.where b')].map(e => e.innerText)")
        page = self.page
        shown = page.text(".ask .set")
        if page.text(".ask h2") in BY_HAND:
            self.answer_by_hand(car, where[0], page.text(".ask .set b"))
            return
        where = [place.removesuffix(SWINGS) for place in where]
        step = {"node": self.node_of[where[0]], "measure": "volts", "state": "", "other": ""}
        if page.text(".ask h2") == "Measure":
            step["state"] = page.text(".ask .set b")
            assert f"Set the car: {step['state']}" in shown
            typed = f"{car.reads(step):.2f}"
        else:
            step["measure"] = "ohms"
            if len(where) > 1:
                step["other"] = self.node_of[where[1]]
                step["measure"] = "bus ohms unplugged" if "Unplug" in shown else "bus ohms"
            ohms = 10 ** car.reads(step)
            typed = "open" if ohms > 1e6 else f"{ohms:.3f}"
        page.type("#shown", typed)
        page.tap(".ask form button")

    def answer_by_hand(self, car, where: str, state: str) -> None:
        """Look, listen, change or feel, and tap what was found."""
        what = BY_HAND[self.page.text(".ask h2")]
        named = re.findall(r"\(([^()]+)\)(?:, |$)", where)
        (node,) = self.loads_of[where] if what == "look" else [",".join(named)]
        came_from = re.search("“(.+)”", self.page.text(".where"))
        other = came_from[1] if came_from else ""
        yes = car.reads({"measure": what, "node": node, "state": state, "other": other})
        self.page.tap(f".answers button[data-answer='{'h' if yes else 'l'}']")
