"""Troubleshooting: symptoms, suspects, measurements, and what each fuse takes with it."""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.book.chapter import Chapter
from buildbook.book.drawings import Drawings
from buildbook.book.views import all_loads, load_title, note
from buildbook.faultfinding.model import Effect, Step, Symptom
from buildbook.result import Result

FUSE_NAMES, SYMPTOM_NAMES = 30, 8
"""Loads named before the rest are only counted."""


def seen(effects: Iterable[Effect], what: dict[str, str], most: int) -> list[str]:
    """Effects in words, by kind: 'dead: fuel pump, left fan and 3 more'."""
    kinds: dict[str, dict[str, None]] = {}
    for effect in effects:
        kinds.setdefault(effect.effect, {})[what.get(effect.load, effect.load)] = None
    said = []
    for kind, names in kinds.items():
        more = f" and {len(names) - most} more" if len(names) > most else ""
        said.append(f"{kind}: {', '.join(list(names)[:most])}{more}")
    return said


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    found = result.faultfinding
    what = {load.id: load_title(result, load) for load in all_loads(result)}
    fuses = []
    for fuse in result.vehicle.all_of("fuse"):
        faults = [f for f in found.faults.values() if f.branch == f"fuse:{fuse.id}"]
        effects = [e for fault in faults for e in found.effects.get(fault.id, ())]
        dies = seen(effects, what, FUSE_NAMES)
        fuses.append((fuse, result.sizing.fuses.get(fuse.id), dies))
    context = {
        "symptoms": [symptom_row(result, symptom, what) for symptom in found.symptoms],
        "fuses": fuses,
        "silent": [found.faults[f].title for f in found.silent],
        "note": note(result, "troubleshooting"),
    }
    title = "Troubleshooting"
    return (Chapter("troubleshooting", title, "troubleshooting.html", context),)


def symptom_row(result: Result, symptom: Symptom, what: dict[str, str]) -> dict:
    """A symptom in words: what is seen, what to suspect, what to measure."""
    effects = seen(symptom.effects, what, SYMPTOM_NAMES)
    steps = [
        (step, outcome(result, symptom, n, step.low), outcome(result, symptom, n, step.high))
        for n, step in enumerate(symptom.steps)
    ]
    return {
        "symptom": symptom,
        "effects": effects,
        "suspects": titles(result, symptom.suspects),
        "steps": steps,
    }


def outcome(result: Result, symptom: Symptom, at: int, left: tuple[str, ...]) -> str:
    """Where a reading leads: the next measurement of these suspects, or the suspects."""
    for later, step in enumerate(symptom.steps[at + 1 :], start=at + 1):
        if covers(step, left):
            return f"go to {later + 1}"
    return "; ".join(titles(result, left)) or "none of the suspects"


def covers(step: Step, suspects: tuple[str, ...]) -> bool:
    return set(step.low) | set(step.high) == set(suspects)


def titles(result: Result, faults: Iterable[str]) -> list[str]:
    known = result.faultfinding.faults
    return [known[fault].title if fault in known else fault for fault in faults]
