"""What goes round the harness, what it stands, and how near it comes to something hot."""

from __future__ import annotations

from dataclasses import replace

import pytest

from buildbook.catalogue.load import clamps, sleeves
from buildbook.checks.rules import bundle_misfit, cover_too_hot, heat_near
from buildbook.harness.finishing import FinishedRun
from buildbook.harness.model import Bundle, Splice
from tests.checks import minimal as m
from tests.checks.bench import about


def piece(outside_mm: float, clamp: str | None = "cushioned-20", sleeve: str | None = "braid-15"):
    return FinishedRun(
        "r",
        "h",
        (),
        None,
        None,
        outside_mm - 1.2,
        "braided sleeve",
        sleeves()[sleeve] if sleeve else None,
        False,
        outside_mm,
        clamps()[clamp] if clamp else None,
        0.1,
        None,
        outside_mm,
    )


def along(found: FinishedRun, zone_c: int = 40, **fields):
    """A run with one piece of harness along it, in a zone of so many degrees."""
    run = m.run("r", "A", "B", **fields)
    vehicle = m.vehicle(runs=(run,), zones={"cabin": {"ambient": f"{zone_c} degC"}})
    harness = m.harness(bundles=(Bundle("r", ("101",)),))
    return replace(m.assessed(vehicle, harness), finished_runs={"r": found})


@pytest.mark.parametrize(("grommet", "fires"), [(0.018, ["r"]), (0.020, []), (None, [])])
def test_harness_goes_through_its_grommet(grommet, fires):
    assert about(bundle_misfit, along(piece(19.0), grommet_m=grommet)) == fires


@pytest.mark.parametrize(
    ("clamp", "held", "fires"), [(None, 2, ["r"]), (None, 0, []), ("cushioned-20", 2, [])]
)
def test_run_that_no_clamp_goes_round(clamp, held, fires):
    assert about(bundle_misfit, along(piece(45.0, clamp), clamps=held)) == fires


def test_bundle_that_no_sleeve_goes_over():
    assert about(bundle_misfit, along(piece(60.0, sleeve=None))) == ["r"]
    assert about(bundle_misfit, along(replace(piece(60.0, sleeve=None), cover="none"))) == []


@pytest.mark.parametrize(("shell", "fires"), [("12 mm", ["lamp"]), ("8 mm", [])])
def test_connector_that_no_boot_fits(shell, fires):
    """Two wires of 4 mm2 lie 6.8 mm wide at most (ISO 6722-1 thin wall, from memory): the boot of
    14 mm closes from 3 to 13 mm, and goes on over 8 to 13; one wire of 0.5 mm2 is too thin."""
    plug = m.connector("lamp", shell=shell)
    size = "4 mm2" if shell == "8 mm" else "0.5 mm2"
    wire = m.wire("101", "feed", m.end("lamp.1", connector="lamp"), m.end("b.1"))
    assessed = m.assessed(
        m.vehicle(), m.harness((wire,), connectors=(plug,)), sizing_=m.sizing(m.sized("101", size))
    )
    assert about(bundle_misfit, assessed) == fires


@pytest.mark.parametrize(("zone_c", "fires"), [(151, ["r"]), (150, [])])
def test_polyester_sleeve_stands_150_degrees(zone_c, fires):
    assert about(cover_too_hot, along(piece(15.0), zone_c)) == fires


@pytest.mark.parametrize(("zone_c", "fires"), [(126, ["S101"]), (125, [])])
def test_heat_shrink_over_a_splice_stands_125_degrees(zone_c, fires):
    lamp = m.device("lamp", "lamp", "1 2")
    vehicle = m.vehicle(
        (lamp,),
        {"feed": ("lamp.1", "lamp.2")},
        (m.run("r", "A", "B"),),
        zones={"cabin": {"ambient": f"{zone_c} degC"}},
    )
    wires = tuple(
        m.wire(
            f"101{n}",
            "feed",
            m.end(f"lamp.{pin}"),
            m.end("S101", "splice", point="A"),
            points=("B", "A"),
        )
        for n, pin in zip("ab", "12", strict=True)
    )
    splice = Splice("S101", "feed", "h", "A", 0.0, ("101a", "101b"))
    sizing = m.sizing(m.sized("101a"), m.sized("101b"))
    assessed = m.assessed(vehicle, m.harness(wires, (splice,)), sizing_=sizing)
    assert about(cover_too_hot, assessed) == fires


@pytest.mark.parametrize(
    ("shell", "zone_c", "fires"), [("10 mm", 151, ["lamp"]), ("10 mm", 150, [])]
)
def test_boot_stands_150_degrees(shell, zone_c, fires):
    plug = m.connector("lamp", shell=shell, point="A")
    wire = m.wire("101", "feed", m.end("lamp.1", connector="lamp"), m.end("b.1"))
    vehicle = m.vehicle(
        runs=(m.run("r", "A", "B"),), zones={"cabin": {"ambient": f"{zone_c} degC"}}
    )
    harness = m.harness((wire,), connectors=(plug,))
    sizing = m.sizing(m.sized("101", "4 mm2"))
    assert about(cover_too_hot, m.assessed(vehicle, harness, sizing_=sizing)) == fires


@pytest.mark.parametrize(("from_heat", "fires"), [(0.08, ["r"]), (0.15, []), (None, [])])
def test_harness_keeps_away_from_the_exhaust(from_heat, fires):
    assert about(heat_near, along(piece(15.0), from_heat_m=from_heat)) == fires
