"""What an author says of symptoms: joined to loads, or told at its own line."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildbook.description.read import read_folder
from buildbook.vehicle.join import join

GOOD = Path(__file__).with_name("good.yaml").read_text(encoding="utf-8")


def joined(folder: Path, symptoms: str):
    (folder / "vehicle.yaml").write_text(GOOD, encoding="utf-8")
    (folder / "pump.md").write_text("The pump hums.\n", encoding="utf-8")
    (folder / "symptoms.yaml").write_text(f"symptoms:\n{symptoms}", encoding="utf-8")
    reading, problems = read_folder(folder)
    return (None, problems) if reading is None else join(reading)


def test_a_device_stands_for_its_loads_and_all_for_every_load(tmp_path):
    vehicle, problems = joined(
        tmp_path,
        "  no pump: {seen: {dead: pump, in: running, works: lamp}}\n"
        "  dead: {seen: {dead: all, in: running}}\n",
    )
    assert not problems
    one, every = (symptom.signs[0] for symptom in vehicle.complaints)
    assert one.dead == (("pump",),) and one.works == (("lamp",),)
    assert one.states == {"running"} and one.only_in
    assert {"pump", "lamp"} <= set(every.dead[0])


def test_a_symptom_may_have_causes_alone(tmp_path):
    text = "  rattles: {causes: {what: Loose bracket, check: Shake it}}\n"
    vehicle, problems = joined(tmp_path, text)
    assert not problems and vehicle.complaints[0].written.causes[0].likely == "sometimes"


MISTAKES = {
    # name: (what is written, the word pointed at, part of the message, part of the hint or reason)
    "unknown device": ("{seen: {dead: pmup}}", "pmup", "no device or load `pmup`", "`pump`"),
    "unknown state": (
        "{seen: {dead: pump, in: runing}}",
        "runing",
        "no operating state `runing`",
        "did you mean `running`?",
    ),
    "unknown fuse": ("{seen: {blows: F9}}", "F9", "no fuse `F9`", "F1"),
    "unknown setting": (
        "{seen: {deed: pump}}",
        "deed",
        "no setting `deed`",
        "did you mean `dead`?",
    ),
    "unknown likelihood": (
        "{causes: {what: air, check: hose, likely: oft}}",
        "oft",
        "`oft` is not allowed",
        "`often`",
    ),
    "a cause without a check": (
        "{causes: {what: air}}",
        "causes",
        "`check` is missing",
        "add `check:`",
    ),
    "a relay": ("{seen: {dead: K1}}", "K1", "nobody sees whether `K1` works", "name what it feeds"),
    "a thing that draws nothing": (
        "{seen: {dead: panel}}",
        "panel",
        "nobody sees whether `panel` works",
        "draws nothing",
    ),
    "off in that state": (
        "{seen: {dead: pump, in: on}}",
        "pump",
        "`pump` is not on in these states",
        "it is on in: running",
    ),
    "well and dead": (
        "{seen: {weak: pump, works: pump}}",
        "pump",
        "`pump` both works and is weak",
        "",
    ),
    "nothing wrong": ("{seen: {works: pump}}", "seen", "nothing is wrong in this sign", "`dead`"),
    "nothing at all": ("{about: odd}", "x", "neither what is seen nor what causes it", "`seen`"),
}


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_told_where_it_stands(name, tmp_path):
    text, word, what, hint = MISTAKES[name]
    line = f"  x: {text}"
    vehicle, problems = joined(tmp_path, f"{line}\n")
    assert vehicle is None and len(problems) == 1
    problem = problems[0]
    assert str(problem.where) == f"symptoms.yaml:2:{line.index(word) + 1}"
    assert what in problem.what
    assert hint in problem.hint + problem.why


LOSSES = {
    # name: (what the sensor says of its loss, part of the message, part of the hint)
    "unknown device": ("{what: x, dead: pmup}", "no device or load `pmup`", "`pump`"),
    "unknown state": (
        "{what: x, dead: pump, in: runing}",
        "no operating state `runing`",
        "did you mean `running`?",
    ),
    "a relay": ("{what: x, dead: K1}", "nobody sees whether `K1` works", "name what it feeds"),
    "no words": ("{dead: pump}", "`what` is missing", "add `what:`"),
    "nothing reads it": (
        "{what: x, stuck on: pump}",
        "no controller reads `lamp`",
        "join it to one of a controller's `inputs`",
    ),
}


@pytest.mark.parametrize("name", LOSSES)
def test_a_mistake_about_a_loss_is_told_at_its_line(name, tmp_path):
    text, what, hint = LOSSES[name]
    lamp = "  lamp: {kind: lamp,"
    written = GOOD.replace(lamp, f"{lamp} when lost: {text},")
    assert written != GOOD
    (tmp_path / "vehicle.yaml").write_text(written, encoding="utf-8")
    (tmp_path / "pump.md").write_text("The pump hums.\n", encoding="utf-8")
    reading, problems = read_folder(tmp_path)
    if reading is not None:
        _, problems = join(reading)
    assert len(problems) == 1
    assert problems[0].where.line == GOOD[: GOOD.index(lamp)].count("\n") + 1
    assert what in problems[0].what and hint in problems[0].hint


def test_a_device_that_draws_nothing_cannot_be_lost(tmp_path):
    written = GOOD.replace("{kind: sensor,", "{kind: sensor, when lost: {what: it stops},")
    (tmp_path / "vehicle.yaml").write_text(written, encoding="utf-8")
    (tmp_path / "pump.md").write_text("The pump hums.\n", encoding="utf-8")
    reading, _ = read_folder(tmp_path)
    _, problems = join(reading)
    assert ["`sensor` draws nothing" in p.what for p in problems] == [True]
