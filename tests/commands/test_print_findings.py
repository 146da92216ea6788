"""How findings are printed."""

from __future__ import annotations

from dataclasses import replace

from buildbook.checks.model import Finding
from buildbook.commands.print_findings import say_findings
from buildbook.problem import Where

FOUND = Finding(
    "feed-unfused",
    "note",
    "112",
    "Wire 112 of 'main fuse feed' has no fuse before it.",
    "Put a fuse there.",
    "practice",
    Where("circuits.yaml", 3, 70),
)


def test_what_is_waived_is_told_in_one_line_and_in_full_on_request(capsys):
    waived = replace(FOUND, waived="its fuse is at its end")
    say_findings([waived])
    first, counts = capsys.readouterr().out.splitlines()
    assert first == "circuits.yaml:3:70: waived note: feed-unfused, 112: its fuse is at its end"
    assert counts.endswith("1 waived")
    say_findings([waived], everything=True)
    full = capsys.readouterr().out
    assert FOUND.text in full and FOUND.remedy in full and "its fuse is at its end" in full


def test_what_a_waiver_has_to_name_is_told_where_the_text_does_not(capsys):
    say_findings([FOUND])
    assert "about:" not in capsys.readouterr().out
    for about in ("power:battery-panel", "12", "main fuse"):
        say_findings([replace(FOUND, about=about)])
        told = f"    about: {about}\n" in capsys.readouterr().out
        assert told == (about != "main fuse")


def test_what_a_waiver_has_to_name_stands_behind_the_rule(capsys):
    """A text may name several things, of which only one is what the finding is about."""
    say_findings([replace(FOUND, also=("113", "114"))])
    first, *_, last = capsys.readouterr().out.splitlines()
    assert first.endswith("has no fuse before it. [feed-unfused] about 112, 113, 114")
    assert "`buildbook explain waivers` has an example" in last


def test_where_all_is_waived_nobody_is_told_how_to(capsys):
    say_findings([replace(FOUND, waived="its fuse is at its end")])
    assert "explain waivers" not in capsys.readouterr().out
