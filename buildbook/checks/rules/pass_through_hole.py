"""Finds pass-throughs that do not go through the hole in their panel, or do not cover it."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.checks.model import PRACTICE, Finding
from buildbook.checks.stages import Assessed
from buildbook.vehicle.model import PassThrough
from buildbook.words.say import say

RULE = "pass-through-hole"
SEVERITY = "error or warning"
PLAY_M = 0.001
"""How much wider than its maker says a hole may be before the seal no longer sits; judgement."""
SOURCE = f"{PRACTICE}: a hole is cut to the connector's drawing, and its seal covers no more"


def check(assessed: Assessed) -> Iterator[Finding]:
    """Hold each hole as cut against the one needed, and that against the connector's shell."""
    for through in assessed.vehicle.pass_throughs:
        needs, cut, shell = through.plug.hole, through.hole_m, through.plug.shell
        if needs is not None and shell is not None and shell > needs:
            yield _finding(
                through,
                "warning",
                say(
                    "The shell of {plug} is {shell} wide, more than the hole of {needs} that it is "
                    "said to need: {device} would not go through.",
                    plug=through.plug_type,
                    shell=_mm(shell),
                    needs=_mm(needs),
                    device=through.device,
                ),
                say("Measure both, and correct the plug type."),
            )
        if cut is None or needs is None:
            continue
        if cut < needs:
            yield _finding(
                through,
                "error",
                say(
                    "The hole for {device} is {cut} wide; its type, {plug}, needs {needs}.",
                    device=through.device,
                    cut=_mm(cut),
                    plug=through.plug_type,
                    needs=_mm(needs),
                ),
                say("Open the hole before the harness is laid, or choose a smaller connector."),
            )
        elif cut > needs + PLAY_M:
            yield _finding(
                through,
                "warning",
                say(
                    "The hole for {device} is {cut} wide; its type, {plug}, needs {needs} and "
                    "would sit loose, and let water and fire through.",
                    device=through.device,
                    cut=_mm(cut),
                    plug=through.plug_type,
                    needs=_mm(needs),
                ),
                say("Close the hole with a plate cut to size."),
            )


def _mm(length_m: float) -> str:
    return say("{mm:g} mm", mm=length_m * 1000)


def _finding(through: PassThrough, severity: str, text: str, remedy: str) -> Finding:
    return Finding(RULE, severity, through.device, text, remedy, SOURCE, through.where)
