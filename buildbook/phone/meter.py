"""What a meter should show, in words, each of which is kept once for the whole file."""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.book.formats import UNMEASURED, reading
from buildbook.book.shared_rows import two_states
from buildbook.electrical.reading import Kind, Reading
from buildbook.result import Result

SAID: dict[Kind, str] = {
    "floating": "floats: what a meter shows says nothing",
    "alternating": "alternating: set the meter to AC",
    "unsettled": "not to be predicted: a contact buzzes",
}
"""What is said in place of volts."""


def reading_words(value: Reading | None) -> str:
    """A reading to a tenth of a volt, with its unit; '' where there is none."""
    if value is None:
        return ""
    return SAID[value.kind] if value.kind in UNMEASURED else reading(value, 1)


class MeterWords:
    """The words of readings, by number."""

    def __init__(self) -> None:
        self._number: dict[str, int] = {"": 0}

    def of(self, values: Iterable[Reading | None]) -> list[int]:
        """The numbers of the words of some readings; 0 where there is none."""
        return [self._number.setdefault(reading_words(x), len(self._number)) for x in values]

    @property
    def words(self) -> list[str]:
        """All words, in the order of their numbers."""
        return [*self._number]


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
