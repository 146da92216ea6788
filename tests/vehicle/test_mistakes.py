"""Every mistake in a description gives a message at its own line, in plain words."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildbook.description.read import read_folder
from buildbook.problem import Problem
from buildbook.vehicle.join import join

GOOD = Path(__file__).with_name("good.yaml").read_text(encoding="utf-8")


def write(folder: Path, text: str) -> Path:
    (folder / "vehicle.yaml").write_text(text, encoding="utf-8")
    (folder / "pump.md").write_text("The pump hums.\n", encoding="utf-8")
    return folder


def problems_of(folder: Path) -> list[Problem]:
    reading, problems = read_folder(folder)
    if reading is None:
        assert problems
        return problems
    vehicle, problems = join(reading)
    assert (vehicle is None) == bool(problems)
    return problems


def test_the_good_vehicle_has_no_problem(tmp_path):
    assert problems_of(write(tmp_path, GOOD)) == []


MISTAKES = {
    # name: (text in the good vehicle, what it becomes, part of the message, part of the hint)
    "unknown section": (
        "zones:",
        "zonse:\n  x: {ambient: 4 degC}\nzones:",
        "no section `zonse`",
        "did you mean `zones`?",
    ),
    "unknown setting": (
        "    at: engine\n    plug: two\n    part",
        "    att: engine\n    plug: two\n    part",
        "no setting `att`",
        "did you mean `at`?",
    ),
    "unknown setting of a draw": (
        "{amps: 6 A,",
        "{ampere: 6 A,",
        "no setting `ampere`",
        "did you mean `amps`?",
    ),
    "unknown kind": (
        "kind: motor",
        "kind: moter",
        "`moter` is not allowed",
        "did you mean `motor`?",
    ),
    "unknown device": (
        "[K1.87, pump.1]",
        "[K1.87, pmup.1]",
        "no device `pmup`",
        "did you mean `pump`?",
    ),
    "unknown pin": ("[pump.2, G1]", "[pump.3, G1]", "`pump` has no pin `3`", "`1`, `2`"),
    "unknown point": (
        "kind: motor\n    at: engine",
        "kind: motor\n    at: engin",
        "no rope reaches `engin`",
        "did you mean `engine`?",
    ),
    "unknown zone": ("zone: bay}", "zone: bey}", "no zone `bey`", "did you mean `bay`?"),
    "unknown system": (
        "[pump.2, G1], system: engine",
        "[pump.2, G1], system: engines",
        "no system `engines`",
        "did you mean `engine`?",
    ),
    "unknown plug": (
        "    plug: two\n    part",
        "    plug: tow\n    part",
        "no plug `tow`",
        "did you mean `two`?",
    ),
    "unknown contact family": (
        "two: {contact: pin-1.5",
        "two: {contact: pin-1.6",
        "no contact family `pin-1.6`",
        "did you mean `pin-1.5`?",
    ),
    "a ring in a cavity": (
        "two: {contact: pin-1.5",
        "two: {contact: ring-M6",
        "`ring-M6` goes on a stud, and no cavity of a plug holds it",
        "a device with studs has `contact` in place of `plug`",
    ),
    "unknown part": ("part: P-1", "part: P-2", "no part `P-2`", "did you mean `P-1`?"),
    "a comma in a text in braces": (
        "date: 2031-05-17}",
        "date: 2031-05-17, about: Coupe, light, four in front}",
        "no setting `light` in `vehicle`",
        'a text that holds a comma: `about: "Coupe, light, four in front"`',
    ),
    "a key without a value where no comma is": (
        "vehicle: {name: Bench car, date: 2031-05-17}",
        "vehicle:\n  name: Bench car\n  date: 2031-05-17\n  about: Coupe\n  nots:",
        "no setting `nots`",
        "known here",
    ),
    "a part where there are none": (
        "parts:\n  P-1: {what: Pump, supplier: bench, price: 40.50}\n",
        "",
        "no part `P-1`",
        "there is none: write one",
    ),
    "unknown supplier": (
        "supplier: bench",
        "supplier: bensh",
        "no supplier `bensh`",
        "did you mean `bench`?",
    ),
    "unknown state": (
        "in: running}",
        "in: runing}",
        "no operating state `runing`",
        "did you mean `running`?",
    ),
    "unknown state of a driver": (
        "on: [on, running]",
        "on: [on, runnin]",
        "no operating state `runnin`",
        "did you mean `running`?",
    ),
    "unknown harness": (
        "between: [cabin, bay]",
        "between: [cabin, bey]",
        "no harness `bey`",
        "did you mean `bay`?",
    ),
    "unknown circuit in a pass-through": (
        "{1: pump feed}",
        "{1: pump fed}",
        "no circuit `pump fed`",
        "did you mean `pump feed`?",
    ),
    "unknown cavity in a pass-through": (
        "{1: pump feed}",
        "{7: pump feed}",
        "no cavity `7` in the plug of `X1`",
        "`1`, `2`",
    ),
    "unknown circuit in a cable": (
        "cores: [temperature,",
        "cores: [temprature,",
        "no circuit `temprature`",
        "did you mean `temperature`?",
    ),
    "unknown wire family": (
        "size: 0.5 mm2",
        "family: thin-walled",
        "no wire family",
        "did you mean `thin-wall`?",
    ),
    "size not made": ("size: 0.5 mm2", "size: 0.6 mm2", "is not made in 0.6 mm2", "0.5 mm2"),
    "American size in a metric family": (
        "size: 0.5 mm2",
        "size: AWG 20",
        "is not made in AWG 20",
        "give `family: awg-",
    ),
    "unknown bus": (
        "slot: 1, bus: B, rating",
        "slot: 1, bus: C, rating",
        "no pin `C` of `panel`",
        "`B`",
    ),
    "fuse on something else": (
        "F2: {kind: fuse, on: panel",
        "F2: {kind: fuse, on: lamp",
        "`lamp` is a lamp, not a panel",
        "name the panel",
    ),
    "slot taken": (
        "slot: 2, bus: B",
        "slot: 1, bus: B",
        "slot 1 of `panel` already holds `F1`",
        "free slot",
    ),
    "battery pin": (
        "between: [battery.+",
        "between: [batery.+",
        "no device `batery`",
        "did you mean `battery`?",
    ),
    "wrong unit": ("length: 900 mm", "length: 900 A", "'A' is not a unit that fits here", "640 mm"),
    "no unit": ("length: 900 mm", "length: 900", "the number 900 has no unit", "640 mm"),
    "decimal comma": ("joint: 3 mohm", "joint: '3,5 mohm'", "decimal comma", "a point"),
    "length of zero": ("length: 900 mm", "length: 0 mm", "`0 mm` must be above zero", "640 mm"),
    "negative length": ("length: 900 mm", "length: -1 m", "`-1 m` must be above zero", "640 mm"),
    "bad inrush": (
        "18 A for 150 ms",
        "18 A during 150 ms",
        "'18 A during 150 ms' is not written",
        "24 A for 150 ms",
    ),
    "load without current": (
        "{amps: 6 A, inrush: 18 A for 150 ms, in: running}",
        "{in: running}",
        "neither `amps` nor `watts` nor `ohms`",
        "give one",
    ),
    "load with amps and ohms": (
        "{ohms: 24 ohm,",
        "{amps: 1 A, ohms: 24 ohm,",
        "both `amps` and `ohms`",
        "keep one",
    ),
    "load of no watts": ("{ohms: 24 ohm,", "{watts: 0 W,", "`0 W` must be above zero", "21 W"),
    "stall of a lamp": (
        "{ohms: 24 ohm,",
        "{watts: 21 W, stall: 9 A,",
        "`stall` but is like a",
        "like: motor",
    ),
    "filament hotter when cold": (
        "{ohms: 24 ohm,",
        "{watts: 21 W, cold: 9 ohm,",
        "more ohms cold than lit",
        "",
    ),
    "stall below running": (
        "{amps: 6 A, inrush",
        "{amps: 6 A, stall: 5 A, inrush",
        "no more at a stall than while it runs",
        "",
    ),
    "transmitter of unknown volts": (
        "{ohms: 24 ohm,",
        "{amps: 4 mA, like: transmitter,",
        "does not say what volts it needs",
        "`works from`",
    ),
    "pin used twice": (
        "[pump.2, G1]",
        "[pump.2, pump.1, G1]",
        "pin `pump.1` is used twice",
        "add these pins to `pump feed`",
    ),
    "pin named twice": (
        "[ecu.2, ecu.3, G2]",
        "[ecu.2, ecu.2, G2]",
        "names `ecu.2` twice",
        "take one",
    ),
    "pin unused yet used": (
        "    part: P-1\n",
        "    part: P-1\n    unused: [1]\n",
        "`pump.1` is listed as unused",
        "out of `unused` of `pump`",
    ),
    "pin unused by a use that is misspelt": (
        "    part: P-1\n",
        "    part: P-1\n    unused: [retrun]\n",
        "no pin `retrun` of `pump`",
        "did you mean `return`?",
    ),
    "wire to a fuse's bus side": (
        "[F1.out, K1.30]",
        "[F1.out, F1.in, K1.30]",
        "already fed by the bus bar",
        "join `panel.B` instead",
    ),
    "circuit with one pin": ("[lamp.2, G2]", "[lamp.2]", "joins 1 pin", "capped at"),
    "capped circuit without a pin": ("join: [G2]", "join: []", "joins no pins", "at its other end"),
    "pass-through named in a circuit": (
        "[lamp.2, G2]",
        "[lamp.2, X1.3]",
        "`X1` is a pass-through",
        "carries",
    ),
    "device without its pin": ("[lamp.2, G2]", "[lamp, G2]", "`lamp` has 2 pins", "`lamp.`"),
    "circuit with no path": (
        "X1: {kind: pass-through, at: bulkhead, plug: six, "
        "between: [cabin, bay], carries: {1: pump feed}}",
        "L2: {kind: lamp, at: dash, plug: two, draws: {ohms: 9 ohm}}",
        "has no path",
        "pass-through",
    ),
    "rope with a loop": (
        "zone: cabin, clamps: 2}",
        "zone: cabin, clamps: 2}\n      - {from: tray, to: bulkhead, length: 1 m, zone: cabin}",
        "has a loop",
        "take one run",
    ),
    "rope in two pieces": (
        "- {from: corner, to: engine",
        "- {from: corne, to: engine",
        "is in two pieces",
        "did you mean `corner`?",
    ),
    "pass-through off its harness": (
        "at: bulkhead, plug",
        "at: tray, plug",
        "no run of harness `bay` reaches `tray`",
        "known here",
    ),
    "pass-through to itself": (
        "[cabin, bay]",
        "[bay, bay]",
        "joins `bay` to itself",
        "two harnesses",
    ),
    "driver without power": (
        "    power: {feeds: 1, grounds: [2, 3], works from: 6 V}\n",
        "",
        "`drivers` but no `power`",
        "power: {feeds",
    ),
    "trip without a time": (
        "limit: 1 A,",
        "limit: 1 A, trips: 2 A,",
        "'2 A' is not written as a current and a time",
        "20 A within 500 ms",
    ),
    "trip below the limit": (
        "limit: 1 A,",
        "limit: 1 A, trips: 1 A within 1 s,",
        "trips at its `limit` or below it",
        "the current from which it switches itself off",
    ),
    "trip that gets slower": (
        "limit: 1 A,",
        "limit: 1 A, trips: [2 A within 1 ms, 5 A within 1 s],",
        "trips no sooner at a larger current",
        "shorter ones at larger currents",
    ),
    "cores do not fit": ("shielded 2", "shielded 3", "has 3 core(s), but 2", ""),
    "note for nothing": (
        "with: system engine",
        "with: system engin",
        "no system `engin`",
        "did you mean `engine`?",
    ),
    "missing note file": (
        "file: pump.md",
        "file: pumps.md",
        "no note file `pumps.md`",
        "did you mean `pump.md`?",
    ),
    "note outside": ("file: pump.md", "file: ../pump.md", "outside the vehicle folder", "copy"),
    "waiver about nothing that is like it": (
        "about: pump feed",
        "about: xyzzy",
        "`xyzzy`",
        "without this waiver `buildbook check --rule",
    ),
    "waiver about nothing": (
        "about: pump feed",
        "about: pump fed",
        "`pump fed`",
        "did you mean `pump feed`?",
    ),
    "price": ("price: 40.50", "price: about 40", "`about 40` is not an amount", "4.50"),
    "colour": ("size: 0.5 mm2", "colour: red", "`red` is not a colour code", "IEC 60757"),
    "name with a slash": (
        "  engine: {title",
        "  ../engine: {title",
        "may not hold a slash",
        "hyphen",
    ),
    "date": ("date: 2031-05-17", "date: May 2031", "`May 2031` is not a date", "2031-05-17"),
    "yes or no": ("wet: yes", "wet: maybe", "`maybe` must be yes or no", ""),
    "text for settings": (
        "draws: {ohms: 24 ohm, in: {except: off}}",
        "draws: 24 ohm",
        "must be written as settings",
        "",
    ),
    "curve falls": ("[6000 rpm, 60 A]", "[600 rpm, 60 A]", "do not rise", "slowest first"),
    "shares over a day": ("share: 60 %", "share: 70 %", "add up to 110%", "100 %"),
    "anchor": ("{amps: 6 A,", "&pump {amps: 6 A,", "anchor", "write the value out"),
    "tag": ("part: P-1", "part: !!python/name:os.system P-1", "tag", "plain text"),
    "duplicate key": ("  lamp: {", "  pump: {", "`pump` is written twice", "another name"),
    "tab": ("    kind: motor", "\tkind: motor", "a tab stands", "two spaces"),
    "missing bracket": ("[pump.2, G1]", "[pump.2, G1", "not YAML", ""),
}

ELSEWHERE = {
    # Reported at another line than the first changed one, on purpose.
    "a key without a value where no comma is": "  nots:",
    "a part where there are none": "    part: P-1",
    "circuit with no path": "  charging: {join",
    "driver without power": "    drivers: {4",
    "rope with a loop": "      - {from: tray, to: bulkhead",
    "pin unused yet used": "  pump feed: {join",
    "duplicate key": "  pump: {kind: lamp",
    "shares over a day": "states:",
    "pass-through off its harness": "  X1: {kind",
    "unknown section": "zonse:",
    "load without current": "    draws: {in",
}


def changed_line(good: str, bad: str) -> int:
    pairs = zip(good.split("\n"), bad.split("\n"), strict=False)
    return next(n for n, (one, other) in enumerate(pairs, 1) if one != other)


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_located_and_explained(tmp_path, name):
    old, new, what, hint = MISTAKES[name]
    assert old in GOOD
    bad = GOOD.replace(old, new, 1)
    problems = problems_of(write(tmp_path, bad))
    said = [p for p in problems if what in p.what and hint in p.hint]
    assert said, problems
    line = changed_line(GOOD, bad)
    if name in ELSEWHERE:
        line = next(n for n, t in enumerate(bad.split("\n"), 1) if t.startswith(ELSEWHERE[name]))
    assert line in {p.where.line for p in said}, (line, said)
    assert {p.where.file for p in said} == {"vehicle.yaml"}


@pytest.mark.parametrize(
    ("old", "new"),
    [
        # A harness named for a circuit that goes on through the pass-through.
        ("[K1.87, pump.1], system: engine", "[K1.87, pump.1], system: engine, harness: cabin"),
        # A single entry for a list of one, and a list of one for a single entry.
        ("in: {except: off}", "in: {except: [off]}"),
        ("in: running}", "in: [running]}"),
        ("feeds: 1,", "feeds: [1],"),
        # A size in the family that the circuit names.
        ("size: 0.5 mm2", "size: AWG 20, family: awg-automotive"),
        # What is waived because it is not there.
        ("rule: drop, about: pump feed", "rule: usual-missing, about: brake lamp"),
        # A pin by what it is for.
        ("about: pump feed", "about: ecu.pump relay"),
        # A wire of a known number.
        ("about: pump feed", "about: 202b"),
    ],
)
def test_what_is_right_is_not_refused(tmp_path, old, new):
    assert old in GOOD
    assert problems_of(write(tmp_path, GOOD.replace(old, new, 1))) == []


def test_a_lamp_off_the_rope_is_sound_where_all_it_joins_is_beside_it(tmp_path):
    more = (
        "supply: {batteries: {B2: {between: [B2.+, B2.-]}}}\n"
        "devices:\n"
        "  B2: {kind: battery, at: bench}\n"
        "  L2: {kind: lamp, at: bench, plug: two, draws: {ohms: 9 ohm}}\n"
        "circuits:\n"
        "  spare plus: {join: [B2.+, L2.1]}\n"
        "  spare minus: {join: [B2.-, L2.2]}\n"
    )
    write(tmp_path, GOOD)
    (tmp_path / "more.yaml").write_text(more)
    assert problems_of(tmp_path) == []
    (tmp_path / "more.yaml").write_text(more.replace("[B2.-, L2.2]", "[G2, L2.2]"))
    problems = problems_of(tmp_path)
    assert [p.where for p in problems if "no rope reaches `bench`" in p.what]
    assert {p.where.file for p in problems} == {"more.yaml"}


def test_a_panel_that_stands_nowhere_is_told_once_for_all_that_stands_on_it(tmp_path):
    write(tmp_path, GOOD)
    more = "devices:\n  P2: {kind: panel, pins: {B: bus bar}}\n"
    more += "".join(f"  F{n}: {{kind: fuse, on: P2, slot: {n}}}\n" for n in (8, 9))
    more += "circuits:\n  eight: {join: [F8.in, battery.+]}\n  nine: {join: [F9.in, battery.+]}\n"
    (tmp_path / "more.yaml").write_text(more)
    (problem,) = problems_of(tmp_path)
    assert (problem.what, problem.where.line) == ("`P2` says nowhere where it is", 2)
    assert "`at`" in problem.hint


def test_all_mistakes_of_a_run_are_told_together(tmp_path):
    bad = GOOD.replace("[pump.2, G1]", "[pump.9, G1]").replace("zone: bay}", "zone: bey}", 1)
    bad = bad.replace("part: P-1", "part: P-9")
    assert len(problems_of(write(tmp_path, bad))) == 3


def test_the_column_is_that_of_the_value(tmp_path):
    bad = GOOD.replace("[pump.2, G1]", "[pump.2, G9]")
    (problem,) = problems_of(write(tmp_path, bad))
    line = bad.split("\n")[problem.where.line - 1]
    assert line[problem.where.column - 1 :].startswith("G9]")
