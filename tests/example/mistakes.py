"""Lays seeded mistakes over copies of the example and says what is newly found."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from string import ascii_lowercase
from typing import Any

import yaml

from buildbook.checks.stages import Checked
from buildbook.pipeline import look_over
from buildbook.problem import Problem
from tests.conftest import EXAMPLE, in_full

MISTAKES = Path(__file__).with_name("seeded_mistakes.yaml")


@dataclass(frozen=True)
class Edit:
    file: str
    find: str
    write: str


@dataclass(frozen=True)
class Mistake:
    id: str
    kind: str
    notice: str
    """What a colleague ought to see."""
    names: tuple[str, ...]
    """One of them has to be named by what is found."""
    edits: tuple[Edit, ...]
    words: tuple[str, ...] = ()
    """Beginnings of words, one of which has to be used; any words will do where empty."""


@dataclass(frozen=True)
class Told:
    """A finding or problem, as far as telling one from another needs."""

    key: tuple[str, ...]
    """What it is and what it is about, without the numbers that any change moves."""
    text: str
    """All that it says, and the other names of what it says it about."""


def mistakes() -> list[Mistake]:
    entries = yaml.safe_load(MISTAKES.read_text(encoding="utf-8"))["mistakes"]
    return [_mistake(entry) for entry in entries]


def _mistake(entry: dict[str, Any]) -> Mistake:
    return Mistake(
        entry["id"],
        entry["kind"],
        entry["notice"],
        tuple(str(name) for name in entry["names"]),
        tuple(Edit(**edit) for edit in entry["edits"]),
        tuple(str(word) for word in entry.get("words", ())),
    )


def with_mistake(mistake: Mistake, folder: Path) -> Path:
    """A copy of the example in full, in `folder`, in which `mistake` was made."""
    shutil.copytree(in_full(EXAMPLE), folder)
    for edit in mistake.edits:
        path = folder / edit.file
        text = path.read_text(encoding="utf-8")
        assert text.count(edit.find) == 1, f"{mistake.id}: not once in {edit.file}: {edit.find}"
        path.write_text(text.replace(edit.find, edit.write), encoding="utf-8")
    return folder


def told_about(folder: Path) -> list[Told]:
    """Problems and findings of a vehicle, without those that are waived."""
    checked, problems = look_over(folder)
    if checked is None:
        return [_of_problem(problem) for problem in problems]
    return list(of_findings(checked))


def _of_problem(problem: Problem) -> Told:
    said = " ".join((problem.what, problem.why, problem.hint))
    return Told(("problem", problem.where.file, problem.what), said)


def of_findings(checked: Checked) -> Iterator[Told]:
    """What is told of a vehicle without problems."""
    numbers = {str(circuit.number): circuit.id for circuit in checked.vehicle.circuits.values()}
    for finding in checked.findings:
        if finding.waived:
            continue
        circuit = numbers.get(finding.about.rstrip(ascii_lowercase), "")
        said = (finding.about, circuit, finding.text, finding.remedy)
        yield Told((finding.rule, finding.severity, finding.about), " ".join(said))


def found(mistake: Mistake, before: list[Told], after: list[Told]) -> list[Told]:
    """What is told after `mistake`, was not told before, and is about the right thing."""
    known: dict[tuple[str, ...], str] = {}
    for told in before:
        known[told.key] = known.get(told.key, "") + " " + told.text
    return [told for told in after if _is_about(mistake, told.text, known.get(told.key))]


def _is_about(mistake: Mistake, text: str, before: str | None) -> bool:
    """Whether `text` names the right thing; anew, where the same was told `before`."""
    if mistake.words and not any(_says(text, word, whole=False) for word in mistake.words):
        return False
    named = [name for name in mistake.names if _says(text, name)]
    return any(before is None or not _says(before, name) for name in named)


def _says(text: str, name: str, whole: bool = True) -> bool:
    """Whether `name` stands in `text` as a word, or where not `whole` as a word's beginning."""
    end = r"(?![\w-])" if whole else ""
    return re.search(rf"(?<![\w-]){re.escape(name)}{end}", text, re.IGNORECASE) is not None
