"""What is said alike of several wires is one finding, and stays apart where one is waived."""

from __future__ import annotations

from dataclasses import replace

from buildbook.checks.model import Finding
from buildbook.checks.together import told_together
from buildbook.commands.print_findings import chosen
from buildbook.export.findings import rows_of
from tests.checks import minimal as m


def found(about: str, rule: str = "short-burns-on", **fields) -> Finding:
    text = f"Nothing stops a short in {about}."
    return Finding(rule, "warning", about, text, "Fit a fuse.", "here", m.HERE, **fields)


ASSESSED = m.assessed(m.vehicle())


def test_wires_with_one_cure_are_told_as_one():
    (one,) = told_together([found("101"), found("102"), found("103")], ASSESSED)
    assert one.about == "101" and one.also == ("102", "103")
    assert one.text.endswith("So it is with 102, 103.")
    assert [f.about for f in chosen([one], (), ("103",))] == ["101"]


def test_what_is_waived_stands_by_itself():
    waived = replace(found("102"), waived="it is short")
    every = told_together([found("101"), waived, found("103")], ASSESSED)
    assert [(f.about, f.also) for f in every] == [("101", ("103",)), ("102", ())]


def test_what_follows_goes_with_the_one_that_stands_for_all():
    follower = found("102", "feed-unfused", follows=("short-burns-on", "102"))
    _, after = told_together([found("101"), found("102"), follower], ASSESSED)
    assert after.follows == ("short-burns-on", "101")


def test_other_cures_and_other_rules_stay_apart():
    other = replace(found("102"), remedy="Lead it elsewhere.")
    assert len(told_together([found("101"), other, found("103", "splice-mixed")], ASSESSED)) == 3


def test_every_wire_is_named_however_many():
    names = [str(number) for number in range(101, 131)]
    (one,) = told_together([found(name) for name in names], ASSESSED)
    assert all(name in one.text for name in names)


def test_row_for_programs_names_what_the_text_names():
    (one,) = told_together([found("101"), found("102"), found("103")], ASSESSED)
    (row,) = rows_of([one])
    assert row["about"] == "101" and row["also"] == ["102", "103"]
    assert rows_of([found("104")])[0]["also"] == []


def test_two_findings_of_one_thing_with_different_cures_are_both_told():
    other = replace(found("101"), text="It is hot, too.", remedy="Lead it elsewhere.")
    told = told_together([found("101"), other, found("102")], ASSESSED)
    assert [f.text for f in told] == [
        "Nothing stops a short in 101. So it is with 102.",
        "It is hot, too.",
    ]
