"""A vehicle with its wires laid, sized and finished: the first stage of its result."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from buildbook.electrical.model import Solved
from buildbook.harness.finishing import FinishedRun
from buildbook.harness.joints import Joint
from buildbook.harness.model import Harness
from buildbook.sizing.first_pass import Learned
from buildbook.sizing.model import Sizing
from buildbook.vehicle.model import Vehicle
from buildbook.words.say import in_language


@dataclass(frozen=True, kw_only=True)
class Sized:
    """What every later stage extends and never alters."""

    vehicle: Vehicle
    harness: Harness
    learned: Learned
    """What the first laying taught: with it the harness is laid again in no time."""
    sizing: Sizing
    solved: Solved
    finished_runs: dict[str, FinishedRun]
    """Run id -> the finished piece of harness along it."""
    joints: dict[str, Joint]
    """Splice id -> how it is made."""


Stage = TypeVar("Stage", bound=Sized)
Rest = ParamSpec("Rest")
Told = TypeVar("Told")


def in_its_language(
    tell: Callable[Concatenate[Stage, Rest], Told],
) -> Callable[Concatenate[Stage, Rest], Told]:
    """Lets a function that is given a stage first say everything in its vehicle's language."""

    @wraps(tell)
    def told(stage: Stage, /, *args: Rest.args, **kwargs: Rest.kwargs) -> Told:
        with in_language(stage.vehicle.language):
            return tell(stage, *args, **kwargs)

    return told
