"""Lays single mistakes over the small vehicles, and tells what `check` says about each."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import yaml

from buildbook.checks.stages import Assessed
from buildbook.pipeline import assessed_of, look_over, sized_of, untold
from tests.conftest import in_full

VEHICLES = Path(__file__).parents[1] / "vehicles"
CLEAN = sorted(folder.name for folder in VEHICLES.iterdir() if (folder / "vehicle.yaml").exists())
"""The small vehicles, which are as they should be."""
LIST = Path(__file__).with_name("mistakes_over_four_vehicles.yaml")
TWENTY_MORE = Path(__file__).with_name("twenty_more_mistakes.yaml")
"""Written after the rules had been mended for the first list."""
TWENTY_OTHERS = Path(__file__).with_name("twenty_others.yaml")
"""Written after the second, of kinds that are in neither."""


@dataclass(frozen=True)
class Mistake:
    id: str
    vehicle: str
    kind: str
    wrong: str
    edits: tuple[tuple[str, str, str], ...]
    """File, text that stands once in it, what stands there instead."""
    names: tuple[str, ...]
    says: tuple[str, ...]
    cure: tuple[str, ...]


@dataclass(frozen=True)
class Line:
    """One problem or finding as `check` prints it."""

    rule: str
    about: str
    severity: str
    text: str
    cure: str
    where: str

    @property
    def key(self) -> tuple[str, str]:
        return (self.rule, self.about)


def mistakes(path: Path = LIST) -> list[Mistake]:
    """A list, as it was first written."""
    return [
        _mistake(name, entry)
        for name, entry in yaml.safe_load(path.read_text())["mistakes"].items()
    ]


def _mistake(name: str, entry: dict[str, Any]) -> Mistake:
    return Mistake(
        name,
        entry["vehicle"],
        entry["kind"],
        entry["wrong"],
        tuple((edit["file"], edit["is"], edit["instead"]) for edit in entry["edits"]),
        tuple(entry["names"]),
        tuple(entry["says"]),
        tuple(entry["cure"]),
    )


def with_mistake(mistake: Mistake, into: Path) -> Path:
    """A copy of the mistake's vehicle, in the folder `into`, with the mistake in it."""
    shutil.copytree(in_full(VEHICLES / mistake.vehicle), into)
    for file, written, instead in mistake.edits:
        path = into / file
        text = path.read_text()
        assert text.count(written) == 1, (mistake.id, written)
        path.write_text(text.replace(written, instead))
    return into


@cache
def assessed_with(mistake: str | None, vehicle: str = "") -> Assessed:
    """What the rules look at: a vehicle with a mistake of the lists, or as it is."""
    with TemporaryDirectory() as folder:
        made = in_full(VEHICLES / vehicle)
        if mistake is not None:
            every = (m for path in (LIST, TWENTY_MORE, TWENTY_OTHERS) for m in mistakes(path))
            found = next(m for m in every if m.id == mistake)
            made = with_mistake(found, Path(folder) / mistake)
        sized, problems = sized_of(made, untold)
    assert sized is not None, problems
    return assessed_of(sized, (), ())


def lines_about(folder: Path) -> list[Line]:
    """What `check` prints of a folder: causes, and not what follows from them."""
    try:
        checked, problems = look_over(folder)
    except Exception as error:  # a builder sees no finding, but a traceback
        return [Line("crash", "", "error", repr(error), "", "")]
    if checked is None:
        return [
            Line("problem", p.what, "error", f"{p.what} {p.why}", p.hint, str(p.where))
            for p in problems
        ]
    return [
        Line(f.rule, f.about, f.severity, f.text, f.remedy, str(f.where))
        for f in checked.findings
        if not f.waived and f.follows is None
    ]


def new_lines(before: Iterable[Line], after: Iterable[Line]) -> list[Line]:
    """Those of `after` that the vehicle without the mistake had not, or not so bad."""
    known = {(line.key, line.severity) for line in before}
    return [line for line in after if (line.key, line.severity) not in known]


SAME_SENSE = (
    "does not work",
    "do not work",
    "runs where",
    "run where",
    "exchanged",
    "joined to nothing",
    "belongs",
    "wants a ground",
    "no ground",
    "such things have",
    "joins the wrong pin",
    "may join the wrong pin",
)
"""Said of any mistake in the wiring: what it makes of the loads, or what in it is otherwise."""


def _has(text: str, words: Iterable[str]) -> bool:
    return any(_stands(w.strip(), text) for w in words)


def _stands(word: str, text: str) -> bool:
    return re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", text, re.IGNORECASE) is not None


def right_ones(mistake: Mistake, new: Iterable[Line]) -> list[Line]:
    """New lines that name the thing that is wrong and say a word of what is wrong."""
    return [
        line
        for line in new
        if _has(f"{line.about} {line.text}", mistake.names)
        and _has(line.text, (*mistake.says, *SAME_SENSE))
    ]


def cured(mistake: Mistake, right: Iterable[Line]) -> bool:
    """Whether the first of the right lines has a cure that names or does what mends it."""
    return any(_has(line.cure, mistake.cure) for line in list(right)[:1])
