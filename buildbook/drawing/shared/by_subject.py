"""Drawings by what they are of, each drawn when it is first looked up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from buildbook.drawing.shared.model import Drawing

Sheets = tuple[Drawing, ...]


class BySubject(Mapping[str, Sheets]):
    """Subject -> its sheets, for drawings that can be made one without the others."""

    def __init__(self, subjects: Iterable[str], draw: Callable[[str], Sheets]) -> None:
        self._subjects = dict.fromkeys(subjects)
        self._draw = draw
        self._drawn: dict[str, Sheets] = {}

    def __getitem__(self, subject: str) -> Sheets:
        if subject not in self._subjects:
            raise KeyError(subject)
        if subject not in self._drawn:
            self._drawn[subject] = self._draw(subject)
        return self._drawn[subject]

    def __contains__(self, subject: object) -> bool:
        return subject in self._subjects

    def __iter__(self) -> Iterator[str]:
        return iter(self._subjects)

    def __len__(self) -> int:
        return len(self._subjects)
