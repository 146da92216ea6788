"""What passes a bulkhead, and where from its datum: counted by hand on the bench car."""

from __future__ import annotations

import pytest

from buildbook.bench.drilling import drilled_walls
from tests.bench.drilled import SPARE, drilled
from tests.vehicle.test_mistakes import GOOD, problems_of, write

WITH_GROMMET = ("rope:\n", SPARE.replace("GROMMET", "grommet: 20 mm"))
WITHOUT = ("rope:\n", SPARE.replace(", GROMMET", ""))
AT_BULKHEAD = ("zone: bay, known: estimated}", "zone: bay, known: estimated, grommet: 30 mm}")


def holes(*changes):
    return {hole.name: hole for wall in drilled_walls(drilled(*changes)) for hole in wall.holes}


def test_only_walls_with_a_hole_are_drilled():
    assert [wall.name for wall in drilled_walls(drilled())] == ["firewall"]
    assert (
        drilled_walls(
            drilled(
                ("  walls:", "  axles: [1 m]\n  walls:"),
                ("    firewall:\n      at: 1 m", "    firewall:\n      at: 1.1 m"),
                ("        fuel hose: {hole: 22 mm, at: [350 mm, 420 mm]}\n", ""),
                ("      holes:\n        heater hose: {hole: 1 in}\n", ""),
            )
        )
        == ()
    )


def test_connectors_come_first_and_what_is_no_wiring_last():
    """X1 is 20 mm off the wall's distance: on it. The datum is 100 left of the middle, 500 up."""
    found = [(h.number, h.name, h.across_mm, h.centre_mm) for h in holes().values()]
    assert found == [
        (1, "X1", 38.0, (250.0, 120.0)),
        (2, "fuel hose", 22.0, (450.0, -80.0)),
        (3, "heater hose", pytest.approx(25.4), None),
    ]


def test_without_a_datum_centres_count_as_places_do():
    datum = ("      datum: {is: bolt of the column, at: [-100 mm, 500 mm]}\n", "")
    assert holes(datum)["X1"].centre_mm == (150.0, 620.0)


def test_a_hole_as_it_was_cut_goes_before_its_sheet():
    assert holes(("plug: six, between", "plug: six, hole: 40 mm, between"))["X1"].across_mm == 40.0


def test_a_place_without_height_is_marked_on_the_car():
    place = ("bulkhead: [1020 mm, 150 mm, 620 mm]", "bulkhead: [1020 mm, 150 mm]")
    assert holes(place)["X1"].centre_mm is None


def test_the_half_behind_the_wall_is_seen():
    """The cabin's, with the battery and so the sockets; turned about, the engine bay's."""
    assert holes()["X1"].near.id == "X1/cabin"
    front = [("dash: [1500 mm", "dash: [600 mm"), ("corner: [800 mm", "corner: [1400 mm")]
    seen = holes(*front)["X1"].near
    assert seen.id == "X1/bay" and seen.turned


def test_a_run_with_a_grommet_across_the_wall_is_a_hole():
    hole = holes(WITH_GROMMET)["tray – engine"]
    assert (hole.across_mm, hole.grommet_mm, hole.centre_mm) == (None, 20.0, None)
    assert hole.harnesses == ("spare",)


def test_a_run_across_without_one_is_named_as_going_past():
    (wall,) = drilled_walls(drilled(WITHOUT))
    assert [run.harness for run in wall.past] == ["spare"]
    assert [run.harness for run in drilled_walls(drilled())[0].past] == []


def test_a_grommet_further_on_is_no_hole_of_this_wall():
    assert list(holes(AT_BULKHEAD)) == ["X1", "fuel hose", "heater hose"]


@pytest.mark.parametrize(
    ("wall", "what"),
    [
        ("{firewall: 5 V}", "firewall"),
        ("{firewall: {at: 1 m, holes: {hose: {}}}}", "hole"),
        ("{firewall: {at: 9 m}}", "outside the vehicle"),
        ("{firewall: 9 m}", "outside the vehicle"),
        ("{firewall: {at: 1 m, hole: 3 mm}}", "no setting `hole`"),
    ],
)
def test_what_is_wrong_with_a_wall_is_told_at_its_line(tmp_path, wall, what):
    plan = f"plan: {{length: 4 m, width: 1.6 m, walls: {wall}, places: {{}}}}\n"
    (problem,) = problems_of(write(tmp_path, GOOD + plan))
    assert what in f"{problem.what} {problem.where}" or what in problem.why
    assert problem.where.line == GOOD.count("\n") + 1
