"""Runs a deck in ngspice and reads what comes out."""

from __future__ import annotations

import resource
import subprocess
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.integrate import trapezoid

from tests.simulator.deck import Deck

OPERATING_POINT_S = 30
"""Seconds of a processor that an operating point may take; most take half of one."""
LAST_RESORT = "Transient op started"
"""Said where none was found and time is let run instead: any moment of that stands there."""


class NotFound(Exception):
    """The simulator finds no operating point, or seeks one longer than it may."""


@dataclass(frozen=True)
class Reading:
    """Volts of a node: mean over the time looked at, and between what it swings.

    Each end is a mean too, over the time that the node stands near it: others' pulses move it.
    """

    mean: float
    low: float
    high: float


def operating_point(deck: Deck, folder: Path) -> dict[str, Reading]:
    """Where everything stands with nothing pulsing; NotFound where none is found in time."""
    _, columns = _run(deck, ["op"], folder, OPERATING_POINT_S)
    return {
        name: Reading(*(float(columns[f"v({number})"][-1]),) * 3)
        for name, number in deck.numbers.items()
    } | {deck.ground: Reading(0.0, 0.0, 0.0)}


def transient(deck: Deck, folder: Path, settle_s: float, look_s: float) -> dict[str, Reading]:
    """Mean and swing over `look_s`, after `settle_s` in which relays and motors come to rest."""
    step = min(deck.periods_s) / 20
    end = settle_s + look_s
    time, columns = _run(deck, [f"tran {step:g} {end:g} {settle_s:g} {step:g}"], folder)
    span = time[-1] - time[0]
    found = {}
    for name, number in deck.numbers.items():
        volts = columns[f"v({number})"]
        mean = float(trapezoid(volts, time) / span)
        found[name] = Reading(mean, *_ends(volts, time))
    return found | {deck.ground: Reading(0.0, 0.0, 0.0)}


def _ends(volts: np.ndarray, time: np.ndarray) -> tuple[float, float]:
    """Means of what is below the middle, and of what is above it."""
    weight, upper = np.gradient(time), volts > (volts.min() + volts.max()) / 2
    if upper.all() or not upper.any():
        return float(volts[0]), float(volts[0])
    low, high = (np.average(volts[part], weights=weight[part]) for part in (~upper, upper))
    return float(low), float(high)


def _run(
    deck: Deck, analysis: list[str], folder: Path, most_s: int = 0
) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    raw = folder / "deck.raw"
    raw.unlink(missing_ok=True)
    file = folder / "deck.cir"
    saved = " ".join(f"v({n})" for n in deck.numbers.values())
    lines = ["set filetype=binary", *analysis, f"write {raw} {saved}"]
    file.write_text(deck.text("vehicle", lines), encoding="ascii")
    ran = subprocess.run(
        ["ngspice", "-b", str(file)],
        capture_output=True,
        text=True,
        timeout=1800,
        check=False,
        preexec_fn=lambda: (
            resource.setrlimit(resource.RLIMIT_CPU, (most_s, most_s)) if most_s else None
        ),
    )
    if most_s and (ran.returncode < 0 or LAST_RESORT in ran.stderr):
        raise NotFound(f"no operating point in {most_s} s")
    assert raw.exists(), (ran.stdout + ran.stderr)[-3000:]
    return _read(raw)


def _read(raw: Path) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """Time (or nothing) and each column of a binary result file."""
    head, _, body = raw.read_bytes().partition(b"Binary:\n")
    lines = head.decode("ascii").splitlines()
    names = [line.split()[1] for line in lines[lines.index("Variables:") + 1 :] if line.strip()]
    values = np.frombuffer(body, dtype=np.float64).reshape(-1, len(names))
    columns = {name: values[:, place] for place, name in enumerate(names)}
    return columns.get("time", np.zeros(len(values))), columns
