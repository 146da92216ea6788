"""`diagnose` as somebody at the track meets it: answers, narrowing, and what it cannot be told."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
import sys

import pytest
from click.testing import CliRunner

from buildbook.cli import main
from buildbook.commands.readings_told import wrong_form
from tests.conftest import EXAMPLE, TESTS
from tests.reference.pages import held, printed, told

MOTORCYCLE = TESTS / "vehicles" / "motorcycle"
README = (TESTS.parent / "README.md").read_text(encoding="utf-8")
SHOWN = [
    tuple(shlex.split(words))
    for words in re.findall(r"^\.venv/bin/buildbook diagnose example_vehicle (.+)$", README, re.M)
]
"""The questions of the README, without the vehicle."""
BOTH = ("--dead", "indicator-front-right", "--dead", "indicator-rear-right")


@pytest.fixture(scope="module", autouse=True)
def cache_folder(caches):
    """One for all questions here: the same cars are broken once."""
    return caches / "buildbook"


def run(*words: str):
    return CliRunner().invoke(main, ["diagnose", str(MOTORCYCLE), *words])


def test_two_dead_lamps_name_what_they_share_and_where_to_measure():
    ended = run(*BOTH, "--works", "headlamp")
    assert ended.exit_code == 0
    assert "Shared by indicator-front-right and indicator-rear-right:" in ended.output
    assert "no contact at flasher.87" in ended.output
    assert "Next: " in ended.output
    assert "ask again with --" in ended.output


def test_a_reading_narrows_the_suspects_and_the_data_say_the_same_as_the_words():
    first = json.loads(run(*BOTH, "--json").stdout)["next"]
    assert (first["measure"], first["place"]) == ("click", "flasher")
    heard = (*BOTH, "--clicks", f"flasher@{first['state']}")
    before = json.loads(run(*heard, "--json").stdout)
    assert before["next"]["measure"] == "volts"
    place, at = before["next"]["place"], before["next"]["state"]
    volts = before["next"]["readings"][1]["volts"]
    words = run(*heard, "--reading", f"{place}={volts}V@{at}").stdout
    after = json.loads(run(*heard, "--reading", f"{place}={volts} V@{at}", "--json").stdout)
    assert len(after["suspects"]) < len(before["suspects"])
    assert {s["fault"] for s in after["suspects"]} <= set(before["next"]["readings"][1]["leaves"])
    assert after["readings"][place] == volts
    for suspect in after["suspects"][:12]:
        assert suspect["what"] in words
    assert f"State: {after['state']}." in words


def shown_of(words, answer):
    """What the words say of an answer: 'Then ask again with --clicks K3 or --silent K3'."""
    (line,) = (x for x in words.splitlines() if x.startswith("Then ask again with "))
    ways = line.removeprefix("Then ask again with ").split(" or ")
    if "…" not in line:
        return shlex.split(ways[min(answer, len(ways) - 1)].partition(" where ")[0])
    sides = [x.split(": ")[0] for x in words.splitlines() if x.startswith("    about ")]
    volts = re.search(r"[−-]?[\d.]+", sides[answer])[0].replace("−", "-")
    return shlex.split(ways[0].replace("…", volts))


@pytest.mark.parametrize("dead", ["indicator-front-right", "headlamp.1", "horn", "fuel-pump"])
@pytest.mark.parametrize("answer", [0, 1])
def test_what_it_says_to_ask_again_with_is_taken_and_asks_something_else(dead, answer):
    words, seen = ["--dead", dead], set()
    for _ in range(12):
        output = run(*words).stdout
        question = next((x for x in output.splitlines() if x.startswith("Next: ")), None)
        if question is None:
            return
        assert question not in seen, words
        seen.add(question)
        words += shown_of(output, answer)
    raise AssertionError(words)


def test_what_is_wrong_is_told_of_one_state():
    ended = run("--dead", "horn@idle")
    assert ended.exit_code == 2 and '--dead horn --state "idle"' in ended.output


def test_the_reference_lists_every_key_of_the_data_and_no_other():
    apart = ("--dead", "coil-1", "--dead", "headlamp.1", "--works", "coil-2", "--json")
    both = [json.loads(run(*words).stdout) for words in (apart, (*BOTH, "--json"))]
    assert told(printed("diagnose")) == held(both)


def test_a_reading_that_fits_nobody_is_said_to():
    said = run("--dead", "headlamp", "--reading", "F3=6.5V").output
    assert "fits no suspect" in said and "No fault fits what was read; better: " in said
    alone = run("--dead", "horn", "--reading", "F4=0A@off", "--reading", "F3=6.5V").output
    assert "100%" not in alone and "That is it" not in alone


def test_ohms_to_the_body_part_a_chafed_wire_from_the_others():
    """Everything unplugged, a wire on the body reads next to nothing and a whole one is open."""
    blown = json.loads(run("--blows", "F4", "--json").stdout)
    wires = [s["fault"] for s in blown["suspects"]]
    assert len(wires) > 1 and all(w.startswith("short wire:") for w in wires)
    low, high = (
        json.loads(run("--blows", "F4", "--reading", f"horn.1={ohms}", "--json").stdout)
        for ohms in ("0.1 ohm", "open")
    )
    left = [{s["fault"] for s in found["suspects"]} for found in (low, high)]
    assert left[0] and left[1] and not left[0] & left[1] and left[0] | left[1] == {*wires}


def test_what_comes_and_goes_is_wiggled_first():
    said = run("--flickers", "horn").output
    assert said.index("It comes and goes") < said.index("Suspects, likeliest first")
    assert "  1. " in said


def test_a_symptom_of_the_book_may_be_named_in_its_words():
    found = json.loads(run("--says", "starter dead", "--json").stdout)
    assert {"open pin:starter.M", "open fuse:F6"} <= {s["fault"] for s in found["suspects"]}


def test_what_nothing_explains_is_said_to_be_so():
    two = run("--dead", "coil-1", "--dead", "headlamp.1", "--works", "coil-2")
    assert "No single fault explains all of it" in two.output
    assert "    coil-1 alone: " in two.output and "    headlamp.1 alone: " in two.output
    assert "Those that come closest alone:" in two.output
    assert "-0.0 V" not in two.output
    assert "does not explain: " in two.output


def test_two_faults_at_once_are_each_named_in_the_data():
    words = ("--dead", "coil-1", "--dead", "headlamp.1", "--works", "coil-2", "--json")
    found = json.loads(run(*words).stdout)
    assert not found["explained"]
    # Each lamp or coil has a wire of its own, which is no other's.
    assert "open load:coil-1" in found["one_by_one"]["coil-1"]
    assert "open load:headlamp.1" in found["one_by_one"]["headlamp.1"]
    assert not {*found["one_by_one"]["coil-1"]} & {*found["one_by_one"]["headlamp.1"]}
    assert json.loads(run(*BOTH, "--json").stdout)["one_by_one"] == {}


@pytest.mark.parametrize("place", ["horn", "horn.9", "HORN.1"])
def test_a_place_that_is_none_comes_with_the_places_of_its_device(place):
    said = run("--dead", "horn", "--reading", f"{place}=0V").output
    assert f"no place to measure called `{place}`" in said
    assert "places there: horn." in said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "tell at least one thing that is dead or weak"),
        (("--dead", "head-lamp"), "did you mean `headlamp`?"),
        (("--dead", "F3"), "nobody sees a fuse work"),
        (("--dead", "horn", "--works", "horn"), "told to be dead and works"),
        (("--dead", "starter", "--dead", "horn"), "in no state do starter, horn all work"),
        (("--dead", "horn", "--state", "idel"), "did you mean `idle`?"),
        (("--dead", "starter", "--state", "idle"), "it works in cranking"),
        (("--dead", "horn", "--reading", "F4.uot=1V"), "did you mean `F4.out`?"),
        (("--dead", "horn", "--reading", "F4"), "a reading is a place and volts"),
        (("--dead", "horn", "--reading", "F4=1 kg"), "--reading F4=1 kg:"),
        (("--dead", "horn", "--reading", "F4=1V@idel"), "did you mean `idle`?"),
        (("--dead", "horn", "--silent", "F4"), "no relay of that name"),
        (("--says", "Starter ded"), "did you mean `Starter dead`?"),
    ],
)
def test_what_cannot_be_meant_is_answered_with_a_hint(words, said):
    ended = run(*words)
    assert ended.exit_code == 2
    assert said in ended.output
    assert "hint: " in ended.output


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("horn 12.4V", "horn.1=12.4V"),
        ("horn.1: 12,4 volts", "horn.1=12.4V"),
        ("12.4V@horn.feed", "horn.feed=12.4V"),
        ("0.3 ohms at horn.2", "horn.2=0.3ohm"),
        ("horn.1=0,2v@ignition on", '"horn.1=0.2V@ignition on"'),
        ("F4 2 amps", "F4=2A"),
        ("horn.1 open", "horn.1=open"),
    ],
)
def test_a_reading_in_another_form_is_answered_with_the_one_that_was_meant(typed, meant):
    said = " ".join(run("--dead", "horn", "--reading", typed).output.split())
    assert f"did you mean --reading {meant}?" in said
    assert "Breaking" not in said, "told before the car is broken"


def test_a_reading_like_none_is_answered_with_one_at_what_is_dead():
    said = " ".join(run("--dead", "horn", "--reading", "nothing").output.split())
    assert "write for example --reading horn.1=12V" in said
    assert "places there: horn.1 (feed), horn.2 (button)" in said


def test_a_place_is_named_by_what_its_pin_is_for():
    one, other = (
        json.loads(run("--dead", "horn", "--reading", f"{place}=0V", "--json").stdout)
        for place in ("horn.1", "horn.feed")
    )
    assert one == other


def test_help_shows_readings_of_the_vehicle_that_is_named():
    said = run("--help").output
    assert "Readings of motorcycle" in said
    lines = [line.split() for line in said.splitlines() if line.startswith("  --reading ")]
    own = [words[1] for words in lines if "PLACE" not in words[1]]
    assert len(own) >= 4
    for reading in own:
        assert not wrong_form(reading.strip('"'))
    assert "Readings of" not in CliRunner().invoke(main, ["diagnose", "--help"]).output


def test_help_teaches_with_the_readme_s_example_and_a_caution():
    said = run("--help").output
    assert f"buildbook diagnose example_vehicle {' '.join(SHOWN[0])}" in said
    assert "--reading" in said
    assert "CAUTION" in said


def test_the_readme_s_example_leads_on_with_the_reading_that_the_program_asks_for():
    first, second = (
        json.loads(CliRunner().invoke(main, ["diagnose", str(EXAMPLE), *words, "--json"]).stdout)
        for words in SHOWN
    )
    place, volts = second_reading()
    assert first["explained"] and second["explained"]
    assert first["next"]["place"] == place
    assert any(r["volts"] == pytest.approx(volts, abs=0.2) for r in first["next"]["readings"])
    assert 0 < len(second["suspects"]) < len(first["suspects"])
    assert not second["readings_that_fit_nobody"]


def second_reading() -> tuple[str, float]:
    """Place and volts of the reading in the README's second question."""
    place, _, volts = SHOWN[1][-1].partition("@")[0].partition("=")
    return place, float(volts.removesuffix("V"))


def test_it_does_not_import_what_sets_the_book():
    code = (
        "import sys\n"
        "from click.testing import CliRunner\n"
        "from buildbook.cli import main\n"
        "ran = CliRunner().invoke(main, ['diagnose', sys.argv[1], '--dead', 'horn'])\n"
        "assert 'Next' in ran.output, ran.output\n"
        "print(sorted({'weasyprint', 'fontTools', 'pypdf', 'jinja2'} & sys.modules.keys()))\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code, str(MOTORCYCLE)],
        cwd=TESTS.parent,
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stdout.strip() == "[]"
