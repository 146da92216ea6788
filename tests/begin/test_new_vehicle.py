"""What `new` writes for any answers is a vehicle that passes `check` without an error."""

from __future__ import annotations

import datetime
from itertools import combinations, product

import pytest

from buildbook.begin.answers import (
    EARTHED,
    PAPERS,
    SWITCHING,
    SYSTEMS,
    UNITS,
    VOLTS,
    Answers,
    refusal,
)
from buildbook.begin.write_vehicle import files_of
from buildbook.checks.run import run_checks
from buildbook.description.read import read_folder
from buildbook.description.to_do import to_do_of
from buildbook.pipeline import assessed_of, sized_of, untold
from tests.begin.combinations import ROWS, answers_of

DATE = datetime.date(2031, 5, 17)
CHOICES = {
    "volts": VOLTS,
    "earthed": EARTHED,
    "units": UNITS,
    "paper": PAPERS,
    "switching": SWITCHING,
    **dict.fromkeys(SYSTEMS, (True, False)),
}


def written(folder, answers):
    for name, text in files_of(answers, DATE).items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def told(answers, key):
    return key in answers.systems if key in SYSTEMS else getattr(answers, key)


def with_answers(said) -> Answers:
    systems = {s for s in SYSTEMS if said.get(s)} | ({"injection"} if said.get("data") else set())
    others = {key: value for key, value in said.items() if key not in SYSTEMS}
    return Answers(systems=tuple(systems), **others)


def test_every_two_answers_that_go_together_stand_in_a_row():
    rows = [answers_of(row) for row in ROWS]
    seen = {(a, told(r, a), b, told(r, b)) for r in rows for a, b in combinations(CHOICES, 2)}
    missing = [
        (a, x, b, y)
        for a, b in combinations(CHOICES, 2)
        for x, y in product(CHOICES[a], CHOICES[b])
        if (a, x, b, y) not in seen
    ]
    for a, x, b, y in missing:
        said = {a: x, b: y}
        no_bus = said.get("injection") is False and said.get("data") is True
        assert no_bus or refusal(with_answers(said)), said


@pytest.mark.parametrize("row", ROWS)
def test_what_is_begun_passes_the_checks_without_an_error(row, tmp_path):
    answers = answers_of(row)
    assert refusal(answers) is None
    sized, problems = sized_of(written(tmp_path, answers), untold)
    assert problems == [] and sized is not None
    found = run_checks(assessed_of(sized, (), ()))
    assert [f"{f.rule}: {f.text}" for f in found if f.severity == "error"] == []
    description = sized.vehicle.description
    assert description.vehicle.nominal == answers.volts
    assert description.vehicle.paper == answers.paper
    assert description.vehicle.currency == answers.currency
    paired = {core for cable in description.cables.values() for core in cable.cores}
    sized_wires = [w for w in sized.harness.wires.values() if w.circuit not in paired]
    labels = {sized.sizing.wires[wire.id].label for wire in sized_wires}
    unit = "AWG" if answers.units == "inch" else "mm2"
    assert labels and all(unit in label for label in labels)
    grounded = [c.join for c in description.circuits.values() if "G1" in c.join]
    earthed = {pin[-1] for join in grounded for pin in join if pin.startswith("battery.")}
    assert earthed == {"+" if answers.is_positive else "-"}


@pytest.mark.parametrize("systems", ["horn", "lights", "starting horn", "fan"])
def test_what_is_begun_with_little_has_nothing_that_nothing_hangs_on(systems, tmp_path):
    answers = answers_of(f"12 negative 4 metric A4 EUR relays {systems}")
    sized, problems = sized_of(written(tmp_path, answers), untold)
    assert problems == [] and sized is not None
    found = run_checks(assessed_of(sized, (), ()))
    assert [f"{f.rule}: {f.text}" for f in found if f.severity != "note"] == []


def test_places_to_fill_in_are_listed_with_their_line(tmp_path):
    written(tmp_path, answers_of(ROWS[0]))
    found = to_do_of(tmp_path)
    assert len(found) >= 6
    for place in found:
        line = (tmp_path / place.where.file).read_text().splitlines()[place.where.line - 1]
        assert line[place.where.column - 1 :].startswith("# TO DO: ") and place.what in line


def test_all_systems_are_said_in_few_lines(tmp_path):
    """What the whole of it means in full would be many times as much."""
    texts = files_of(answers_of(ROWS[-3]), DATE)
    lines = [li for text in texts.values() for li in text.splitlines() if li.strip()]
    assert len(lines) < 220
    assert max(len(line) for line in lines) < 800


@pytest.mark.parametrize(
    ("said", "word"),
    [
        ({"volts": 6, "systems": ("injection",)}, "12 V"),
        ({"earthed": "positive", "switching": "modules"}, "negative"),
        ({"systems": ("data",)}, "talks"),
    ],
)
def test_answers_that_do_not_go_together_are_refused_with_a_hint(said, word):
    what, hint = refusal(Answers(**said))
    assert word in what and hint


def test_a_name_with_any_letters_is_written_as_it_is(tmp_path):
    name = 'He said: "#1" {a}, \\ or not'
    folder = written(tmp_path, Answers(name=name, systems=()))
    contents, problems = read_folder(folder)
    assert problems == [] and contents.description.vehicle.name == name
