"""What a meter should show, in words, each of which is kept once for the whole file."""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.book.formats import JOINED, UNMEASURED, level_words, reading
from buildbook.book.shared_rows import two_states
from buildbook.electrical.reading import Kind, Reading
from buildbook.result import Result
from buildbook.words.say import mark, say

SAID: dict[Kind, str] = {
    "floating": mark("floats: what a meter shows says nothing"),
    "alternating": mark("alternating: set the meter to AC"),
    "unsettled": mark("not to be predicted: a contact buzzes"),
}
"""What is printed in place of volts, once said."""


def reading_words(value: Reading | None) -> str:
    """A reading to a tenth of a volt, with its unit; '' where there is none."""
    if value is None:
        return ""
    return say(SAID[value.kind]) if value.kind in UNMEASURED else reading(value, 1)


def noted_kind(value: Reading | None) -> str:
    """The kind of a reading whose words are explained: a mean, one of two levels, or between."""
    if value is None or value.rms_v is not None:
        return ""
    joined = value.kind in JOINED and len(level_words(value)) > 1
    return value.kind if joined or value.kind == "average" else ""


class MeterWords:
    """The words of readings, by number."""

    def __init__(self) -> None:
        self._number: dict[str, int] = {"": 0}
        self._kinds: list[str] = [""]

    def of(self, values: Iterable[Reading | None]) -> list[int]:
        """The numbers of the words of some readings; 0 where there is none."""
        return [self._of(value) for value in values]

    def _of(self, value: Reading | None) -> int:
        found = self._number.setdefault(reading_words(value), len(self._number))
        if found == len(self._kinds):
            self._kinds.append(noted_kind(value))
        return found

    @property
    def words(self) -> list[str]:
        """All words, in the order of their numbers."""
        return [*self._number]

    @property
    def kinds(self) -> list[str]:
        """What kinds of readings they are, where the script explains it, in the same order."""
        return self._kinds


def states_shown(result: Result) -> list[int]:
    """Places of the states that are shown first: at rest, with the ignition on, running.

    At rest: the one with the engine still in which fewest loads draw; with the ignition on: the
    one that the trackside pages take; running: the slowest that does not crank.
    """
    states = result.vehicle.description.states
    loads = [load for device in result.vehicle.devices.values() for load in device.loads]
    still = [name for name in states if not states[name].engine] or list(states)
    rest = min(still, key=lambda name: sum(name in load.states for load in loads))
    names = dict.fromkeys((rest, *two_states(result)))
    return [list(result.vehicle.states).index(name) for name in names]
