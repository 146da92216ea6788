"""From Python: a vehicle folder read, sized, solved and drawn; what is wrong in it is raised."""

from __future__ import annotations

from os import PathLike
from pathlib import Path

from buildbook.book.drawings import Drawings
from buildbook.description.read import FolderContents, read_folder
from buildbook.pipeline import sized_of, untold, work_out
from buildbook.problem import Problem
from buildbook.result import Result
from buildbook.sizing.stage import Sized


class Unusable(ValueError):
    """A description that nothing can be worked out of; `problems` says why, each with its place."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__("\n".join(f"{p.where}: {p.what}" for p in problems))
        self.problems = tuple(problems)


def read(folder: str | PathLike[str], variant: str | None = None) -> FolderContents:
    """The description of a vehicle folder, written out in full; raises Unusable."""
    contents, problems = read_folder(Path(folder), variant)
    if contents is None or problems:
        raise Unusable(problems)
    return contents


def size(folder: str | PathLike[str], variant: str | None = None) -> Sized:
    """The vehicle with its wires laid, and the size of each wire and fuse; raises Unusable."""
    sized, problems = sized_of(Path(folder), untold, variant)
    if sized is None or problems:
        raise Unusable(problems)
    return sized


def solve(folder: str | PathLike[str], variant: str | None = None) -> Result:
    """Everything that is worked out of a vehicle folder, faults and prices too; raises Unusable."""
    result, problems = work_out(Path(folder), variant=variant)
    if result is None or problems:
        raise Unusable(problems)
    return result


def draw(result: Result) -> dict[str, str]:
    """Every drawing of the book as SVG in millimetres on paper, by its name."""
    sheets = Drawings(result).every()
    return {drawing.name: drawing.svg for drawing in sheets}
