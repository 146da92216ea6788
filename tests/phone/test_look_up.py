"""Looking things up in a real browser: what is typed, what the cards say, nothing asked for."""

from __future__ import annotations

import re

import pytest


def rows(page):
    """Names of the things found, the one that is shown whole first."""
    return page.run(
        "[...document.querySelectorAll('main .card > h2, main ol > li > .row b')]"
        ".map(e => e.innerText.trim())"
    )


def test_it_asks_for_nothing_and_its_script_makes_no_mistake(opened):
    for address in ("#/find/pump", "#/wire/301a", "#/device/F2", "#/pin/coil-1.1", "#/sheets"):
        opened.go(address)
        assert opened.text("h1")
    assert opened.asked_for() == []
    assert opened.complaints() == []


def test_a_file_that_would_ask_for_something_is_held_back(opened):
    """The file itself forbids every request, so that a mistake cannot make one."""
    tried = opened.run(
        "fetch('http://127.0.0.1:9/').then(() => 'asked', () => 'held back')",
    )
    assert tried == "held back"
    assert "Content-Security-Policy" in opened.run("document.head.innerHTML")


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("301a", "Wire 301a"),
        ("F4", "F4: Signals and tail"),
        ("f4", "F4: Signals and tail"),
        ("start relay 87", "Pin start-relay.87"),
        ("START-RELAY.87", "Pin start-relay.87"),
        ("coil 1 2", "Pin coil-1.2"),
        ("pump", "fuel-pump: Fuel pump"),
        ("fule pump", "fuel-pump: Fuel pump"),
        ("batery", "battery: Battery"),
    ],
)
def test_what_is_meant_comes_first(opened, typed, first):
    opened.type("#asked", typed)
    assert rows(opened)[0] == first


def test_colours_are_found_by_words_and_by_letters(opened, motorcycle):
    wanted = {f"Wire {w.id}" for w in motorcycle.harness.wires.values() if w.colour == "RD/YE"}
    assert wanted
    for typed in ("red/yellow", "rd/ye", "RD YE"):
        opened.type("#asked", typed)
        assert {*rows(opened)[: len(wanted)]} == wanted


def test_the_number_of_things_found_is_said_aloud(opened):
    opened.type("#asked", "F2.out")
    count = len(rows(opened))
    assert opened.text("#said") == f"{count} found"


def test_a_long_list_says_how_much_more_there_is(opened):
    opened.type("#asked", "horn")
    shown = len(rows(opened))
    more = re.search(r"Show (\d+) more", opened.text())
    assert more
    opened.tap("button", "more")
    assert len(rows(opened)) == shown + int(more[1])
    assert opened.text("#said") == f"{shown + int(more[1])} found"


def test_the_card_of_a_wire_says_all_of_it(opened, motorcycle):
    """As the description has it: the horn hangs on F4 and is switched to the ground G2."""
    wire = next(w for w in motorcycle.harness.wires.values() if w.circuit == "horn button ground")
    opened.type("#asked", wire.id)
    opened.tap(".card h2")
    text = opened.text(".card")
    assert "horn-button.2" in text and "bars left" in text
    assert "G2" in text and "headstock" in text
    assert "F4: Signals and tail" in text
    assert motorcycle.sizing.wires[wire.id].label.replace("mm2", "mm²") in text
    label = opened.run("document.querySelector('.card .swatch').getAttribute('aria-label')")
    assert label and label in text
    for state in ("off", "ignition on", "idle"):
        assert state in text


def test_a_healthy_reading_is_that_of_the_network(opened, motorcycle):
    opened.go("#/pin/F2.out")
    reading = motorcycle.readings["ignition on"].at_pin("F2.out").volts.nominal
    cells = opened.run("[...document.querySelectorAll('.card tbody tr')].map(r => r.innerText)")
    assert f"ignition on\t{reading:.1f} V" in cells


def test_a_sensor_says_what_it_gives(opened, motorcycle):
    """As its data sheet in the description has it: 220 ohm, 0.9 V at 250 rpm."""
    opened.go("#/device/pick-up")
    text = opened.text(".card")
    assert "198 to 242 Ω" in text
    assert "250 rpm\t198 to 242 Ω\t0.90 V AC" in text


def test_what_pulses_is_explained_where_it_stands(opened):
    opened.go("#/pin/ignition-controller.3")
    assert "average" in opened.text(".card table")
    assert "Average: pulses, of which a meter shows the mean." in opened.text(".card")


def test_links_lead_from_the_wire_to_its_fuse_and_on(opened):
    opened.go("#/wire/301a")
    opened.tap(".chip", "F2: Ignition and fuel")
    assert opened.text("h1") == "F2: Ignition and fuel"
    assert opened.run("document.activeElement.tagName") == "H1"
    opened.tap(".chip", "fuel-pump")
    assert opened.text("h1") == "fuel-pump: Fuel pump"
    opened.run("history.back()")
    opened.wait("document.querySelector('h1').innerText.startsWith('F2')")


def test_cautions_stand_where_the_work_is(opened):
    opened.go("#/device/starter")
    assert "CAUTION: cranking." in opened.text(".card .warn")
    assert "Isolate the battery before you mend" in opened.text("footer")


def test_back_leads_to_what_was_typed(opened):
    opened.type("#asked", "horn")
    opened.tap("ol .row", "horn-button")
    assert opened.text("h1").startswith("horn-button")
    opened.run("history.back()")
    opened.wait("document.querySelector('#asked')?.value === 'horn'")


def test_an_address_that_leads_nowhere_is_told(opened):
    opened.go("#/wire/999")
    assert "There is no wire 999" in opened.text()
    opened.go("#/%E0%A4%A")
    assert opened.text("h1") == "Find"
