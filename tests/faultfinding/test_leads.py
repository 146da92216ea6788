"""Complaints led to symptoms on four faults made by hand; their weights summed on paper."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from buildbook.faultfinding.complaints import called, causes_of, complaint_patterns
from buildbook.faultfinding.entries import _of_author
from buildbook.faultfinding.faults import weight
from buildbook.faultfinding.model import (
    Blown,
    Cause,
    ComplaintPatterns,
    Effect,
    Fault,
    Lead,
    Pattern,
    Symptom,
)
from tests.faultfinding.test_complaints import sign

FAULTS = {
    fault.id: fault
    for fault in (
        Fault("a", "wire", "wire:1", "wire 1 open"),
        Fault("b", "wire", "wire:2", "wire 2 open"),
        Fault("c", "wire", "wire:3", "wire 3 open"),
        Fault("d", "wire", "wire:4", "wire 4 open"),
    )
}
LAMP, HORN = (("lamp", "on"), ("horn", "on"))


def effect(at, what="dead"):
    return Effect(*at, what, 0.0, 12.0)


EFFECTS = {
    "a": (effect(LAMP),),
    "b": (effect(LAMP), effect(HORN), effect(("ecu", "on"))),
    "c": (effect(LAMP), effect(HORN), effect(("fan", "on")), effect(("fan", "night"))),
    "d": (effect(HORN),),
}
SYMPTOMS = (
    Symptom("S1", "lamp dead", "on", (), ("a",), ()),
    Symptom("S2", "lamp and more dead", "on", (), ("b", "c"), ()),
    Symptom("S3", "horn dead", "on", (), ("d",), ()),
)
KINDS = {"lamp": "lamp", "horn": "horn", "ecu": "controller", "fan": "motor"}


def vehicle(*complaints):
    devices = {
        name: SimpleNamespace(id=name, kind=kind, loads=(SimpleNamespace(id=name),), title=name)
        for name, kind in KINDS.items()
    }
    return SimpleNamespace(devices=devices, complaints=complaints)


def complaint(*signs, causes=(), about=""):
    written = SimpleNamespace(about=about, causes=causes)
    return SimpleNamespace(name="it", signs=signs, written=written)


def patterns(*signs, blown=None, asked=None):
    works = {name: frozenset({"on"}) for name in KINDS}
    part = asked if asked is not None else lambda suspects, behind: ("step",)
    (found,) = complaint_patterns(
        vehicle(complaint(*signs, about="in the rain")),
        works,
        EFFECTS,
        blown or {},
        FAULTS,
        SYMPTOMS,
        part,
    )
    assert (found.name, found.about) == ("it", "in the rain")
    return found.patterns


def test_what_upsets_more_beside_is_less_likely_and_a_controller_is_seen_by_nobody():
    """The lamp alone weighs 1; with the horn dead too a half; with the horn and a fan a third."""
    (found,) = patterns(sign(dead=["lamp"], states=["on"]))
    first, second = found.leads
    assert (first.symptom, first.faults, first.beside) == ("S1", ("a",), 0)
    assert (second.symptom, second.faults, second.beside) == ("S2", ("b", "c"), 1)
    whole = 1 + 1 / 2 + 1 / 3
    assert first.share == pytest.approx(1 / whole)
    assert second.share == pytest.approx((1 / 2 + 1 / 3) / whole)
    assert found.others == 0
    assert found.steps == ("step",)


def test_the_readings_asked_for_part_the_suspects_of_all_that_is_likely():
    seen = []
    patterns(
        sign(dead=["lamp"], states=["on"]),
        asked=lambda suspects, behind: seen.append(([f.id for f in suspects], behind)) or (),
    )
    behind = {"a": "S1", "b": "S2", "c": "S2", "d": "S3"}
    assert seen == [(["a", "b", "c"], behind)]


def test_one_lead_alone_needs_no_reading():
    (found,) = patterns(sign(dead=["horn"], works=["lamp"], states=["on"]))
    assert [lead.symptom for lead in found.leads] == ["S3"]
    assert found.leads[0].share == 1.0
    assert found.steps == ()


def test_signs_that_nothing_does_make_no_pattern_and_those_alike_make_one():
    assert patterns(sign(stuck_on=["lamp"], states=["on"])) == ()
    with_horn = sign(dead=["lamp", "horn"], states=["on"])
    hidden = sign(dead=["lamp", "horn", "ecu"], states=["on"])
    (one,) = patterns(with_horn, hidden)
    assert one.signs == (with_horn, hidden)
    both = patterns(sign(dead=["lamp"], states=["on"]), sign(dead=["horn"], states=["on"]))
    assert len(both) == 2


def test_a_fuse_that_was_said_to_blow_must_and_in_those_states_alone():
    asked = sign(blows=["F1"], states=["on"], only_in=True)
    blown = {"a": (Blown("F1", "on", 90.0),), "b": (Blown("F1", "on", 9.0), Blown("F1", "x", 9.0))}
    (found,) = patterns(asked, blown=blown)
    assert [lead.faults for lead in found.leads] == [("a",)]


def test_a_lead_less_likely_than_a_fiftieth_is_only_counted():
    many = {f"x{n}": Fault(f"x{n}", "wire", "wire:1", "") for n in range(60)}
    symptoms = [
        Symptom("S1", "", "on", (), tuple(many), ()),
        Symptom("S2", "", "on", (), ("d",), ()),
    ]
    works = {name: frozenset({"on"}) for name in KINDS}
    (found,) = complaint_patterns(
        vehicle(complaint(sign(dead=["horn"], states=["on"]))),
        works,
        {name: (effect(HORN),) for name in [*many, "d"]},
        {},
        many | {"d": FAULTS["d"]},
        symptoms,
        lambda suspects, behind: ("never",),
    )
    (pattern,) = found.patterns
    assert [lead.symptom for lead in pattern.leads] == ["S1"]
    assert (pattern.others, pattern.steps) == (1, ())


def test_causes_that_are_not_electrical_stand_likeliest_first():
    def cause(likely, caution=None):
        return SimpleNamespace(what=likely, check="look", likely=likely, caution=caution)

    found = causes_of(
        complaint(causes=[cause("seldom"), cause("often", "hot"), cause("sometimes")])
    )
    assert [(c.likely, c.weight, c.caution) for c in found] == [
        ("often", 8.0, "hot"),
        ("sometimes", 3.0, ""),
        ("seldom", 1.0, ""),
    ]
    assert (found[0].what, found[0].check) == ("often", "look")


def lead(symptom, *faults, beside=0):
    return Lead(symptom, faults, 1.0, beside)


def test_a_symptom_is_called_what_leads_to_it_alone():
    alone = ComplaintPatterns("dark", "", (Pattern((), (lead("S1"),), (), 0),), ())
    later = ComplaintPatterns("night", "", (Pattern((), (lead("S1"),), (), 0),), ())
    two = ComplaintPatterns("odd", "", (Pattern((), (lead("S2"), lead("S3")), (), 0),), ())
    names = [symptom.called for symptom in called(SYMPTOMS, [two, alone, later])]
    assert names == ["dark", "", ""]


def of_author(signs, leads, faults=FAULTS):
    named = ComplaintPatterns(
        "dark",
        "",
        (Pattern(tuple(signs), tuple(leads), (), 0),),
        (Cause("w", "c", "often", 8, ""),),
    )
    return _of_author(vehicle(), faults, named)


def test_a_line_of_the_author_weighs_its_faults_by_what_they_upset_beside():
    line = of_author(
        [sign(dead=["lamp"], weak=["horn"])], [lead("S1", "a"), lead("S2", "b", "gone", beside=1)]
    )
    assert line.name == "dark"
    assert line.weights == {"a": weight(FAULTS["a"]), "b": weight(FAULTS["b"]) / 2}
    assert line.loads == {"lamp", "horn"}
    assert [cause.what for cause in line.causes] == ["w"]


def test_a_line_of_fuses_or_without_leads_is_none():
    assert of_author([sign(blows=["F1"])], [lead("S1", "a")]) is None
    assert of_author([sign(dead=["lamp"])], []) is None
