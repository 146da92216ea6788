"""The drawings of a book: each is drawn when a chapter first asks for it, and shared by all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from concurrent.futures import Future
from typing import Any

from buildbook.drawing.registry import KINDS, Kind
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.drawing.shared.model import Drawing
from buildbook.result import Result
from buildbook.words.say import in_language

Begun = Mapping[str, Future[dict[str, Mapping[str, Sheets]]]]


class Drawings:
    """The drawings of one vehicle, by the names of their kinds in the registry."""

    def __init__(
        self, result: Result, kinds: Iterable[Kind[Any]] = KINDS, begun: Begun | None = None
    ) -> None:
        """`begun`: name of a kind that is drawn elsewhere -> what will hold it."""
        self._result = result
        self._kinds = {kind.name: kind for kind in kinds}
        self._begun = begun or {}
        self._found: dict[str, Mapping[str, Sheets]] = {}
        self._asked: dict[str, Drawing] = {}

    def of(self, kind: str, subject: str = "") -> Sheets:
        """The sheets of a kind: of a system, harness, panel or connector, or of the vehicle.

        None where there is nothing of it to draw. KeyError for a kind that does not exist.
        """
        sheets = self._by_subject(kind).get(subject, ())
        self._asked.update((sheet.name, sheet) for sheet in sheets)
        return sheets

    def first(self, kind: str, subject: str = "") -> Drawing | None:
        """The only sheet of a kind that has one, or none where there is nothing to draw."""
        return next(iter(self.of(kind, subject)), None)

    def all_of(self, kind: str) -> Sheets:
        """The sheets of a kind, of everything that has one; what two share is one of them."""
        found = (d for subject in self._by_subject(kind) for d in self.of(kind, subject))
        return tuple({drawing.name: drawing for drawing in found}.values())

    def every(self) -> Sheets:
        """All drawings of all kinds."""
        return tuple(d for kind in self._kinds for d in self.all_of(kind))

    def asked(self) -> Sheets:
        """The drawings that were asked for so far."""
        return tuple(self._asked.values())

    def _by_subject(self, kind: str) -> Mapping[str, Sheets]:
        if kind not in self._found and kind in self._begun:
            self._found.update(self._begun[kind].result())
        elif kind not in self._found:
            with in_language(self._result.vehicle.language):
                self._found[kind] = self._kinds[kind].draw(self._result)
        return self._found[kind]
