"""What makes no vehicle: the way out of it that does best on the model is its hint."""

from __future__ import annotations

import shutil

import pytest

from buildbook.pipeline import look_over
from tests.checks.over_four_vehicles import TWENTY_MORE, VEHICLES, mistakes, with_mistake
from tests.conftest import in_full

EVERY = {mistake.id: mistake for mistake in (*mistakes(), *mistakes(TWENTY_MORE))}


@pytest.mark.parametrize(
    ("mistake", "hint"),
    [
        ("M09", "take F2.out out of 'pick-up return' (tried on the model: "),
        (
            "M26",
            "take F6.out out of 'start relay ground', and join start-relay.85 to a ground stud",
        ),
        (
            "N06",
            "join tail-lamp.2, which nothing joins, in 'brake lamp' and not tail-lamp.1 (tried",
        ),
    ],
)
def test_pin_in_two_circuits_is_taken_out_of_the_one_where_it_does_harm(mistake, hint, tmp_path):
    checked, (problem,) = look_over(with_mistake(EVERY[mistake], tmp_path / "car"))
    assert checked is None
    assert "is used twice" in problem.what and problem.hint.startswith(hint)


def test_two_pins_in_two_circuits_have_a_way_that_mends_both(tmp_path):
    _, (first, second) = look_over(with_mistake(EVERY["T06"], tmp_path / "car"))
    assert first.hint.startswith("take radio.2 out of")
    assert "join radio.2 to a ground stud" in second.hint


def test_splice_that_was_meant_is_made_one_circuit(tmp_path):
    """The horn has a wire of its own from the fuse: without it, it would be dead."""
    car = tmp_path / "car"
    shutil.copytree(in_full(VEHICLES / "motorcycle"), car)
    path = car / "circuits.yaml"
    text = path.read_text()
    assert text.count("brake-switch.1, horn.1]") == 1
    text = text.replace("brake-switch.1, horn.1]", "brake-switch.1]")
    own = "circuits:\n  horn feed: {join: [F4.out, horn.1], system: signals}"
    path.write_text(text.replace("circuits:", own, 1))
    _, (problem,) = look_over(car)
    assert problem.hint.startswith("join both in one circuit")
