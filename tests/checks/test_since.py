"""What is new and what is gone between two states of a vehicle."""

from __future__ import annotations

from dataclasses import replace

from buildbook.checks.model import Finding
from buildbook.checks.since import since
from buildbook.checks.stages import Checked
from buildbook.pipeline import held_by
from tests.checks import minimal as m


def found(rule: str, about: str, severity: str = "warning", **fields) -> Finding:
    return Finding(
        rule, severity, about, f"{about} is wrong.", "Mend it.", "here", m.HERE, **fields
    )


def checked(*findings: Finding, number: str = "101") -> Checked:
    """A lamp on a fuse, its feed's wire of the number given."""
    lamp = m.device("lamp", "lamp", "1 2")
    vehicle = m.vehicle((m.BATTERY, m.fuse("F1"), lamp), {"lamp feed": ("F1.out", "lamp.1")})
    wire = m.wire(number, "lamp feed", m.end("F1.out"), m.end("lamp.1"))
    assessed = m.assessed(vehicle, m.harness((wire,)))
    return Checked(**held_by(assessed), findings=findings)


def test_only_what_was_not_there_is_new():
    compared = since(checked(found("a", "F1")), checked(found("a", "F1"), found("b", "F1")))
    assert [f.rule for f in compared.new] == ["b"]
    assert compared.gone == () and compared.kept == 1


def test_what_is_found_no_more_is_gone():
    compared = since(checked(found("a", "F1")), checked())
    assert [f.rule for f in compared.gone] == ["a"] and compared.new == ()


def test_what_got_worse_is_new_and_what_got_better_is_gone():
    worse = since(checked(found("a", "F1")), checked(found("a", "F1", "error")))
    assert [f.severity for f in worse.new] == ["error"] and worse.gone == ()
    better = since(checked(found("a", "F1", "error")), checked(found("a", "F1")))
    assert better.new == () and [f.severity for f in better.gone] == ["error"]


def test_a_wire_is_known_again_under_another_number():
    """Another circuit before it moved its number."""
    compared = since(checked(found("a", "101")), checked(found("a", "102"), number="102"))
    assert compared.new == () and compared.gone == () and compared.kept == 1


def test_what_is_waived_since_is_gone_and_what_is_waived_no_more_is_new():
    waived = replace(found("a", "F1"), waived="it is short")
    assert [f.about for f in since(checked(found("a", "F1")), checked(waived)).gone] == ["F1"]
    assert [f.about for f in since(checked(waived), checked(found("a", "F1"))).new] == ["F1"]


def test_what_was_told_with_another_is_not_new_by_itself():
    together = found("a", "F1", also=("lamp",))
    compared = since(checked(together), checked(found("a", "lamp")))
    assert compared.new == ()
    assert [f.about for f in compared.gone] == ["F1"]
