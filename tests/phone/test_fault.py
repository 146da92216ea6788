"""The diagnosis in a real browser, with a meter on a car that was broken for it."""

from __future__ import annotations

import json
import statistics

import pytest

from buildbook.export.faults import silent_fault_rows, symptom_rows
from tests.faultfinding.broken_car import Car, looked_up
from tests.phone.mechanic import Mechanic


@pytest.fixture(scope="module")
def told(motorcycle):
    """Symptoms as they are exported, the healthy car, and the faults that show anything."""
    rows = json.loads(json.dumps(symptom_rows(motorcycle)))
    silent = {row["fault"] for row in silent_fault_rows(motorcycle)}
    faults = [f for f in motorcycle.faultfinding.faults.values() if f.id not in silent]
    return rows, Car(motorcycle), [f for f in faults if f.mode in ("open", "short")]


def test_every_twelfth_break_and_short_is_found(opened, motorcycle, told):
    rows, healthy, faults = told
    mechanic, counts, lost = Mechanic(opened, motorcycle), [], []
    for fault in faults[::12]:
        car = Car(motorcycle, fault)
        ended = mechanic.finds(looked_up(rows, car, healthy)["id"], car)
        counts.append(len(ended.asked))
        lost += [fault.id] if mechanic.named(fault) not in ended.suspects else []
    assert len(counts) > 10 and not lost
    assert statistics.median(counts) <= 4
    assert opened.complaints() == []


@pytest.fixture
def asked(opened, motorcycle):
    """The first question of the symptom with the most steps."""
    measured = [
        s for s in motorcycle.faultfinding.symptoms if s.steps and s.steps[0].what == "volts"
    ]
    symptom = max(measured, key=lambda s: len(s.steps))
    opened.go(f"#/symptom/{symptom.id}")
    return symptom


def test_the_buttons_are_the_two_readings_of_the_printed_tree(opened, asked):
    from buildbook.book.fault_trees import reading_words

    first = asked.steps[0]
    shown = opened.run("[...document.querySelectorAll('.answers b')].map(e => e.innerText)")
    assert shown == [f"About {words}" for words in reading_words(first)]


def test_a_button_leads_on_and_back_leads_back(opened, asked):
    before = opened.text(".where")
    opened.tap(".answers button")
    assert opened.text("main") and "Asked so far: 1" in opened.text()
    opened.tap("a", "Back one step")
    assert opened.text(".where") == before
    opened.tap(".answers button")
    opened.run("history.back()")
    opened.wait(f"document.querySelector('.where')?.innerText === {json.dumps(before)}")


def test_a_reading_between_the_two_is_doubted_and_both_sides_are_shown(opened, asked):
    first = asked.steps[0]
    middle = (first.low_v + first.high_v) / 2
    assert abs(first.high_v - first.low_v) > 4
    opened.type("#shown", f"{middle:.1f}")
    opened.key("Enter", 13)
    opened.wait("document.querySelector('main').innerText.includes('Asked so far: 1')")
    assert "Neither." in opened.text()
    opened.tap("a", "It stays so")
    shown = opened.run("document.querySelectorAll('.found li').length")
    assert shown == len({*first.low, *first.high})


def test_a_caution_stands_over_the_question_once(opened, asked):
    """The starter's own symptom: cranking is told of the whole, and not again in the question."""
    for address in (f"#/symptom/{asked.id}", f"#/symptom/{asked.id}/h"):
        opened.go(address)
        assert opened.text().count("CAUTION: cranking.") == 1


def test_what_is_no_reading_is_told_and_goes_nowhere(opened, asked):
    before = opened.run("location.hash")
    opened.type("#shown", "quite low")
    opened.tap(".ask form button")
    assert "Type volts" in opened.text("#wrong")
    assert opened.run("location.hash") == before


@pytest.mark.parametrize(("typed", "kept"), [("12,4", "12.4"), ("12.4 V", "12.4"), ("400m", "0.4")])
def test_volts_are_typed_as_people_write_them(opened, asked, typed, kept):
    opened.type("#shown", typed)
    opened.tap(".ask form button")
    assert opened.run("location.hash").endswith(kept)


def test_the_end_says_where_what_to_do_today_and_leads_to_the_card(opened, motorcycle):
    from buildbook.book.fault_wording import described

    finding = motorcycle.faultfinding
    symptom = next(
        s for s in finding.symptoms if s.steps and any(f == "open fuse:F3" for f in s.suspects)
    )
    opened.go(f"#/symptom/{symptom.id}")
    left = symptom.suspects
    while step := next((s for s in symptom.steps if {*s.low, *s.high} == {*left}), None):
        high = "open fuse:F3" in step.high
        left = step.high if high else step.low
        opened.tap(f".answers button[data-answer='{'h' if high else 'l'}']")
    words = described(motorcycle, finding.faults["open fuse:F3"])
    text = opened.text(".found")
    assert words[1:] in text and "slot 3" in text
    assert "same rating, once" in text and "For today" in text
    opened.tap(".found a", "F3")
    assert opened.text("h1") == "F3: Headlamp"


def test_what_the_driver_says_leads_to_the_same_questions(opened, motorcycle):
    """The first entry of the printed page, followed by its buttons to the end of the first side."""
    entry = motorcycle.faultfinding.entries[0]
    opened.go("#/fault")
    opened.tap("main a.row", entry.name[1:])
    assert opened.text("h1").casefold() == entry.name.casefold()
    left = entry.suspects
    while step := next((s for s in entry.steps if {*s.low, *s.high} == {*left}), None):
        assert opened.run("document.querySelector('.ask').dataset.what") == step.what
        left = step.low
        opened.tap(".answers button[data-answer='l']")
    assert opened.run("document.querySelectorAll('.found li.card').length") == len(left)


def test_what_comes_and_goes_has_its_places_in_order(opened, motorcycle):
    from buildbook.faultfinding.intermittent import wiggles

    entry, known = motorcycle.faultfinding.entries[0], motorcycle.faultfinding.faults
    spots = wiggles(motorcycle.vehicle, motorcycle.harness, [known[f] for f in entry.suspects])
    opened.go("#/entry/0")
    opened.tap("summary", "It comes and goes")
    shown = opened.run("[...document.querySelectorAll('details[open] ol b')].map(e => e.innerText)")
    assert shown == [spot.where for spot in spots]


def test_a_question_without_a_meter_is_answered_by_yes_and_no(opened, motorcycle):
    number, entry = next(
        (n, e)
        for n, e in enumerate(motorcycle.faultfinding.entries)
        if e.steps and e.steps[0].what == "look"
    )
    opened.go(f"#/entry/{number}")
    assert opened.text(".ask h2") == "Look"
    assert opened.run("[...document.querySelectorAll('.answers b')].map(e => e.innerText)") == [
        "No",
        "Yes",
    ]
    assert not opened.run("!!document.querySelector('#shown')")
    assert entry.steps[0].state in opened.text(".set")


def test_a_device_leads_to_what_may_be_wrong_with_it(opened):
    opened.go("#/device/horn")
    opened.tap("summary", "Something wrong with it")
    opened.tap("details a.row", "orn")
    assert opened.run("location.hash").startswith("#/symptom/")
