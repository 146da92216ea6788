"""The paths of a system go on few sheets, and what has to be cut is cut in few places."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import ceil

import pytest

from buildbook.drawing.schematic.controller_blocks import PIN_FOOTPRINT, pin_element
from buildbook.drawing.schematic.current_paths import current_paths, cut_in_two
from buildbook.drawing.schematic.layout import lay_out
from buildbook.drawing.schematic.layout_model import CurrentPath, Footprint, Grid, Link, Port
from buildbook.drawing.schematic.sheet_arrangement import (
    BETWEEN_MM,
    FLAG,
    ROOM_MM,
    Placed,
    SheetArrangement,
)
from buildbook.drawing.schematic.system_elements import wires_of
from buildbook.drawing.schematic.system_sheets import SystemSchematic, schematics


@pytest.fixture(params=["two_wire", "motorcycle", "lapwing"])
def result(request):
    return request.getfixturevalue(request.param)


def schematics_of(result):
    return {
        system: SystemSchematic(result, (system,), wires)
        for system in result.vehicle.description.systems
        if (wires := wires_of(result, system))
    }


def test_a_system_has_no_more_sheets_than_its_paths_ask_for(result) -> None:
    """What goes side by side is on one sheet; any more sheets are half full of what is drawn."""
    for system, schematic in schematics_of(result).items():
        arrangement = SheetArrangement(
            schematic.made.elements, schematic.made.grid, schematic.made.block_caption
        )
        groups = arrangement._groups(
            current_paths(schematic.made.footprints, schematic.made.links, [], set()), 1 / 3
        )
        sizes = [(g.layout.width + BETWEEN_MM, g.layout.height + BETWEEN_MM) for g in groups]
        if sum(w for w, _ in sizes) <= ROOM_MM[0]:
            assert len(schematic.packed) == 1, system
        full = sum(w * h for w, h in sizes) / (ROOM_MM[0] * ROOM_MM[1])
        assert len(schematic.packed) <= max(1, ceil(2 * full)), (
            f"{system}: {full:.2f} sheets of groups"
        )


def chain(count: int) -> tuple[dict[str, Footprint], list[Link]]:
    """Symbols of 20 mm, each fed by the one before it."""
    footprints = {str(n): Footprint(str(n), 4.0, 12.0, 20.0, "device") for n in range(count)}
    links = [
        Link(f"w{n}", Port(str(n), False, 0), Port(str(n + 1), True, 0)) for n in range(count - 1)
    ]
    return footprints, links


def test_a_chain_longer_than_python_calls_may_nest_is_laid_out_in_its_order() -> None:
    """Each of 1,200 symbols stands below the one that feeds it, and no wire is bent."""
    footprints, links = chain(1200)
    assert len(footprints) > sys.getrecursionlimit()
    layout = lay_out(footprints, links, Grid(10.0, 5.9, 9.0))
    assert [layout.ranks[str(n)] for n in range(1200)] == list(range(1200))
    assert all(len({x for x, _ in line}) == 1 for line in layout.lines.values())
    assert [len(path.links) for path in current_paths(footprints, links, [], set())] == [1199]


def dealt(footprints, links):
    arrangement = SheetArrangement({}, Grid(10.0, 5.9, 9.0), lambda id_: (id_,))
    return arrangement.sheets(footprints, links, [], set())


def flags(sheets) -> list[str]:
    return sorted(k for sheet in sheets for p in sheet for k in p.group.footprints if "flag:" in k)


def test_a_path_that_goes_on_a_sheet_is_not_cut() -> None:
    sheets = dealt(*chain(3))
    assert len(sheets) == 1 and not flags(sheets)


def test_a_path_too_long_for_the_paper_goes_on_beside_itself() -> None:
    """Eight symbols of 20 mm with a label each are higher than an A4 sheet turned on its side."""
    footprints, links = chain(8)
    sheets = dealt(footprints, links)
    assert len(sheets) == 1
    ids = {flag.removeprefix("flag:").rstrip("~") for flag in flags(sheets)}
    assert ids and flags(sheets) == sorted(f"flag:{id_}{end}" for id_ in ids for end in ("", "~"))
    drawn = [link.id for p in sheets[0] for link in p.group.links if not link.id.endswith("~")]
    assert sorted(drawn) == sorted(link.id for link in links)


def test_what_is_cut_and_finds_room_on_one_sheet_is_joined_again() -> None:
    """Two parts of which both together fit: packed side by side they would keep the cut."""
    footprints, links = chain(4)
    arrangement = SheetArrangement({}, Grid(10.0, 5.9, 9.0), lambda id_: (id_,))
    whole = CurrentPath(footprints, links)
    layout = arrangement._laid(*whole, arrangement.grid)
    parts = cut_in_two(whole, layout, True, FLAG)
    assert len(parts) == 2
    sheet = [Placed(arrangement._group([part]), 60.0 * n, 0.0) for n, part in enumerate(parts)]
    assert len(flags([sheet])) == 2
    (placed,) = arrangement._rejoined(sheet)
    assert not flags([[placed]])
    assert {link.id for link in placed.group.links} == {link.id for link in links}


def test_what_hangs_on_a_controller_and_does_not_go_below_it_has_a_block_of_its_own(two_wire):
    """One block would stand below six symbols with three more below itself: higher than a sheet.

    The two sides of the wire that was cut stood on one sheet, each with an arrow to the other.
    """
    device = replace(two_wire.vehicle.devices["battery"], id="ecu", kind="controller")
    pins = {
        f"pin ecu.{n} {n}": pin_element(f"pin ecu.{n} {n}", device, f"ecu.{n}", n, n == "up")
        for n in ("up", "down")
    }
    made = {key: replace(PIN_FOOTPRINT, key=key) for key in pins}
    flag = {key: replace(FLAG, key=key) for key in ("flag:cut", "flag:cut~")}
    above, links = chain(4)
    above = {key: replace(one, height=16.0) for key, one in above.items()}
    links.append(Link("up", Port("3", False, 0), Port("pin ecu.up up", True, 0)))
    down = [
        Link("down", Port("pin ecu.down down", False, 0), Port("low", True, 0)),
        Link("cut", Port("low", False, 0), Port("flag:cut", True, 0)),
    ]
    low, on = (
        Footprint("low", 4.0, 12.0, 20.0, "device"),
        Footprint("on", 4.0, 12.0, 20.0, "device"),
    )
    first = CurrentPath(above | made | {"low": low, "flag:cut": flag["flag:cut"]}, links + down)
    second = CurrentPath(
        {"on": on, "flag:cut~": flag["flag:cut~"]},
        [Link("cut~", Port("flag:cut~", False, 0), Port("on", True, 0), False)],
    )
    arrangement = SheetArrangement(pins, Grid(10.0, 5.9, 9.0), lambda id_: (id_,))
    groups = [arrangement._group([part]) for part in (first, second)]
    assert len(flags([[Placed(group, 0.0, 0.0) for group in groups]])) == 2
    sheet = arrangement._rejoined([Placed(g, 100.0 * n, 0.0) for n, g in enumerate(groups)])
    assert not flags([sheet])
    drawn = sorted(link.id for placed in sheet for link in placed.group.links)
    assert drawn == sorted([link.id for link in [*links, *down]])
    blocks = [e for p in sheet for e in p.group.footprints.values() if e.key.startswith("block")]
    assert len(blocks) == 2


def test_small_systems_share_sheets_where_that_saves_some(motorcycle) -> None:
    """Of 5 to 22 wires each; by itself every one of them takes a sheet at least."""
    drawn, alone = schematics(motorcycle), schematics_of(motorcycle)
    sheets = {sheet.name for found in drawn.values() for sheet in found}
    assert len(sheets) < sum(len(schematic.packed) for schematic in alone.values())
    titles = motorcycle.vehicle.description.systems
    for system, found in drawn.items():
        assert found
        assert all(titles[system].title in sheet.title for sheet in found)
