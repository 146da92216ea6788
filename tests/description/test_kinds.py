"""Kinds know their trade, and whatever stands at a device goes before them."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from buildbook.cli import main
from buildbook.description.expand.kinds import Kinds, built_in
from buildbook.description.models import Device
from buildbook.description.models.devices import BASE_KINDS
from buildbook.description.quantities import parse
from buildbook.description.read import read_folder
from buildbook.description.tree import at, entries, word
from buildbook.vehicle.join import join
from tests.description.short import DEVICES, folder, problems_of, read

JOINED = "circuits:\n  feed: {join: [battery.+, panel.B]}\n  back: {join: [battery.-, G1]}\n"
PINS_OF_ROLES = {
    "engine controller": {"1": "feed", "2": "power ground"},
    "ignition controller": {"1": "feed", "2": "ground"},
    "dash display": {"1": "feed", "2": "ground"},
    "data logger": {"1": "switched feed", "2": "ground", "3": "memory feed"},
}
"""Kinds whose pins only the author knows."""


def device(tmp_path, written: str) -> Device:
    return read(tmp_path, JOINED + "devices:\n  a: " + written + "\n").devices["a"]


def test_no_kind_with_data_has_the_name_of_a_base_kind():
    assert not set(built_in()) & set(BASE_KINDS)
    assert len(built_in()) > 45


@pytest.mark.parametrize("name", built_in())
def test_every_kind_says_what_it_is_and_where_its_values_come_from(name):
    told = built_in()[name]
    assert word(told, "about") and word(told, "source")
    assert any(s in word(told, "source") for s in ("no source", "memory", "IEC", "ISO", "DIN"))
    kind = Kinds({}, []).named(name)
    assert kind is not None and kind.base in BASE_KINDS


@pytest.mark.parametrize("name", built_in())
def test_every_kind_makes_a_sound_device_by_itself(name, tmp_path):
    """All that it names is among its pins, every value is one, and its loads are made."""
    kind = Kinds({}, []).named(name)
    pins = PINS_OF_ROLES.get(name) or list(entries(at(kind.given, "pins")))
    roles = pins.items() if isinstance(pins, dict) else ()
    said = f", pins: {{{', '.join(f'{pin}: {use}' for pin, use in roles)}}}" if roles else ""
    rows = "".join(f'"{pin}", ' for pin in pins)
    plug = f"plugs: {{p: {{contact: pin-2.8, rows: [[{rows}]]}}}}\n"
    plugged = ", plug: p" if pins and "contact" not in str(at(kind.given, "pins")) else ""
    line = f"devices:\n  a: {{kind: {name}, at: tail{plugged}{said}}}\n"
    if kind.base in ("relay", "fuse"):
        line = f"devices:\n  a: {{kind: {name}, at: tail}}\n"
    contents, problems = read_folder(folder(tmp_path, JOINED + plug + line, DEVICES))
    assert contents is not None and not problems, problems
    vehicle, told = join(contents)
    about_it = [p for p in told if "a.yaml" in p.where.file or "`a`" in p.what]
    needed = ("no entry", "nothing", "`supply`", "is in no circuit", "is not joined", "supply")
    assert [p.what for p in about_it if not any(n in p.what + p.hint for n in needed)] == []
    if vehicle is not None and at(kind.given, "draws"):
        assert vehicle.devices["a"].loads


def test_pins_of_other_names_take_the_draw_along(tmp_path):
    found = device(
        tmp_path, "{kind: fuel pump, at: tail, contact: blade-6.3, pins: {x: ground, y: feed}}"
    )
    assert (found.draws[0].from_, found.draws[0].to) == ("y", "x")
    assert found.kind == "motor" and found.caution == "fuel" and found.critical


def test_amps_of_ones_own_take_the_kinds_inrush_away(tmp_path):
    found = device(tmp_path, "{kind: fuel pump, at: tail, contact: blade-6.3, draws: {amps: 4 A}}")
    (draw,) = found.draws
    assert (draw.amps, draw.inrush, draw.at, draw.works_from) == (4.0, None, None, 9.0)


def test_watts_in_place_of_ohms_leave_one_of_them(tmp_path):
    found = device(
        tmp_path, "{kind: port injector, at: tail, contact: blade-6.3, draws: {watts: 9 W}}"
    )
    assert (found.draws[0].ohms, found.draws[0].watts) == (None, 9.0)


def test_one_of_several_draws_is_changed_by_its_name(tmp_path):
    found = device(
        tmp_path,
        "{kind: headlamp, name: Left headlamp, at: tail, contact: blade-6.3,"
        " draws: {dipped: {watts: 35 W}, side: null}}",
    )
    assert [draw.watts for draw in found.draws] == [35.0, 60.0]
    assert found.draws[0].what == "the left dipped beam lights"


CONTROLLER = (
    "{kind: engine controller, at: tail, contact: blade-6.3, pins: {1: feed 1, 2: power ground,"
    " 3: data bus high, 4: data bus low}, draws: "
)


def test_a_named_draw_at_other_pins_stands_beside_the_one_of_the_kind(tmp_path):
    bus = "{bus: {from: data bus high, to: data bus low, ohms: 120 ohm}}}"
    found = device(tmp_path, CONTROLLER + bus)
    assert [(d.from_, d.to, d.amps, d.ohms) for d in found.draws] == [
        ("1", "2", 0.9, None),
        ("3", "4", None, 120.0),
    ]


@pytest.mark.parametrize("ends", ["from: feed 1, to: power ground", 'from: "2", to: "1"'])
def test_a_named_draw_at_the_pins_of_the_kinds_takes_its_place(tmp_path, ends):
    found = device(tmp_path, CONTROLLER + "{main: {" + ends + ", amps: 2 A}}}")
    assert [draw.amps for draw in found.draws] == [2.0]


@pytest.mark.parametrize("end", ["feed 2", "3"])
def test_a_draw_from_any_feed_of_a_controller_takes_the_place_of_that_from_all(tmp_path, end):
    """The kind's is what the whole controller takes, from whichever feed: it would count twice."""
    two = CONTROLLER.replace("3: data bus high", "3: feed 2")
    found = device(tmp_path, f"{two}{{second: {{from: {end}, to: power ground, amps: 0.5 A}}}}}}")
    assert [(draw.from_, draw.amps) for draw in found.draws] == [("3", 0.5)]


def test_a_draw_of_another_name_takes_the_place_of_the_one_of_several_at_its_pins(tmp_path):
    found = device(
        tmp_path,
        "{kind: headlamp, at: tail, contact: blade-6.3,"
        " draws: {low: {from: dipped beam, to: ground, watts: 35 W}}}",
    )
    assert sorted(draw.watts for draw in found.draws) == [5.0, 35.0, 60.0]


def test_both_stand_at_the_same_pins_where_both_are_named(tmp_path):
    found = device(
        tmp_path,
        "{kind: headlamp, at: tail, contact: blade-6.3,"
        " draws: {dipped: {}, ring: {from: dipped beam, to: ground, watts: 3 W}}}",
    )
    assert sorted(draw.watts for draw in found.draws) == [3.0, 5.0, 55.0, 60.0]


def test_a_named_draw_without_pins_changes_the_one_of_the_kind(tmp_path):
    (draw,) = device(tmp_path, CONTROLLER + "{main: {amps: 2 A}}}").draws
    assert (draw.from_, draw.amps, draw.works_from) == ("1", 2.0, 6.0)
    assert draw.in_.except_ == ["off"]


def test_show_tells_what_of_the_kind_gave_way(tmp_path):
    two = CONTROLLER.replace("3: data bus high", "3: feed 2")
    line = f"{two}{{second: {{from: feed 2, to: power ground, amps: 500 mA}}}}}}"
    made = folder(tmp_path, JOINED + "devices:\n  a: " + line + "\n")
    said = CliRunner().invoke(main, ["show", str(made), "a"]).output
    (draws,) = [text for text in said.splitlines() if "draws:" in text]
    assert draws.endswith("# without the kind's 900 mA from 1 to 2")
    every = CliRunner().invoke(main, ["show", str(made)]).output
    assert "without a draw or contact of their kind: a" in every


def test_a_kind_of_the_author_adds_a_draw_to_the_one_that_it_is_made_of(tmp_path):
    found = read(
        tmp_path,
        JOINED
        + "kinds:\n  my controller: {kind: engine controller, draws: {bus: {from: data bus high,"
        " to: data bus low, ohms: 120 ohm}}}\n"
        + "devices:\n  a: "
        + CONTROLLER.replace("engine", "my").removesuffix(", draws: ")
        + ", draws: {amps: 2 A}}\n",
    ).devices["a"]
    assert [(d.amps, d.ohms) for d in found.draws] == [(2.0, None), (None, 120.0)]


def test_a_list_of_draws_takes_the_place_of_the_kinds(tmp_path):
    found = device(
        tmp_path,
        "{kind: headlamp, at: tail, contact: blade-6.3, draws: [{from: 58, to: 31, amps: 1 A}]}",
    )
    assert [draw.amps for draw in found.draws] == [1.0]


def test_a_characteristic_takes_the_place_of_the_kinds(tmp_path):
    found = device(
        tmp_path,
        "{kind: thermistor, at: tail, contact: blade-6.3,"
        " gives: {signal: {ntc: {ohms: 2 kohm, at: 25 degC, beta: 3400 K}}}}",
    )
    assert found.gives["1"].ntc.points == [] and found.gives["1"].ntc.ohms == 2000.0
    assert found.senses == "ntc"


def test_a_kind_of_ones_own_is_made_of_another_and_may_change_the_programs(tmp_path):
    found = read(
        tmp_path,
        JOINED + "kinds:\n"
        "  small fan: {kind: radiator fan, draws: {amps: 3 A}}\n"
        "  radiator fan: {caution: hot}\n"
        "devices:\n  a: {kind: small fan, at: tail, contact: blade-6.3}\n",
    ).devices["a"]
    assert (found.kind, found.caution, found.draws[0].amps, found.draws[0].turns) == (
        "motor",
        "hot",
        3.0,
        "fan",
    )


def test_what_the_engine_does_stands_for_states(tmp_path):
    found = device(
        tmp_path,
        "{kind: radiator fan, at: tail, contact: blade-6.3, draws: {in: engine not running}}",
    )
    assert found.draws[0].in_.except_ == ["idle"]


@pytest.mark.parametrize(
    ("written", "says", "hint"),
    [
        ("devices: {a: {kind: fuel pomp, at: tail}}\n", "no kind `fuel pomp`", "`fuel pump`"),
        ("kinds: {x: {plug: p}}\n", "does not say what kind of thing it is", "explain kinds"),
        ("kinds: {x: {kind: y}, y: {kind: x}}\n", "leads back to itself", "base kind"),
        (
            "devices: {a: {kind: fuel pump, at: tail, contact: ring-M6, pins: {1: x, 2: y}}}\n",
            "no pin of it is called `feed`",
            "say what its pins are for",
        ),
        ("kinds: {horn two: {kind: horn, colour: red}}\n", "no setting `colour`", ""),
        ("kinds: {x: {kind: horn, about: loud, low}}\n", "no setting `low`", '"loud, low"'),
        ("kinds: {x: {kind: horn, system: al}}\n", "no system `al`", "did you mean `all`?"),
        ("kinds: {x: {kind: horn, plug: p-2}}\n", "no plug `p-2`", "write `p-2` under `plugs`"),
    ],
)
def test_what_is_wrong_with_a_kind_is_told_where_it_is_written(tmp_path, written, says, hint):
    told = problems_of(tmp_path, JOINED + written)
    assert any(says in p.what and hint in p.hint for p in told), told


def test_a_part_that_is_unknown_is_told_once_at_the_kind_that_names_it(tmp_path):
    kinds = "kinds:\n  mine: {kind: horn, part: P-7}\n"
    horns = "devices:\n  horn: {count: 4, kind: mine, at: tail, contact: blade-6.3}\n"
    (told,) = problems_of(tmp_path, JOINED + kinds + horns)
    assert told.what == "no part `P-7`" and "under `parts`" in told.hint
    assert (told.where.line, told.where.column) == (JOINED.count("\n") + 2, 28)


def filaments():
    """Kind, draw -> watts and inrush of every bulb among the kinds."""
    for name, told in built_in().items():
        draws = at(told, "draws")
        if word(told, "kind") == "lamp" and draws is not None and name != "lamp of LEDs":
            each = {"": draws} if word(draws, "watts") else dict(entries(draws))
            for key, draw in each.items():
                yield pytest.param(draw, id=f"{name} {key}".strip())


@pytest.mark.parametrize("draw", list(filaments()))
def test_every_bulb_takes_several_times_its_current_while_it_is_cold(draw):
    """A cold tungsten filament has a tenth or less of its hot resistance (resistivity of tungsten
    at 20 degC and 2800 K, from memory: 5.6 and 83 microohm cm); what feeds it takes some away."""
    steady = parse(word(draw, "watts"), "W") / 13.5
    amps, _, seconds = word(draw, "inrush").partition(" for ")
    assert 5 < parse(amps, "A") / steady < 83 / 5.6
    assert parse(seconds, "s") == pytest.approx(0.02)
