"""What became of things from one revision to the next is said in the language of the book."""

from __future__ import annotations

from buildbook.issued.model import THE_TRUNK, Facts, IssuedDevice, IssuedSplice, IssuedWire
from buildbook.sizing.changes import changes
from buildbook.words.say import in_language, unknown_words


def wire(length: str, size: str = "0.5 mm2") -> IssuedWire:
    ends = {"from_": "fuses.1", "to": "lamp.1"}
    return IssuedWire(circuit="lamp feed", size=size, length=length, colour="RD", **ends)


def splice(at: str) -> IssuedSplice:
    return IssuedSplice(circuit="lamp feed", harness="main", at=at)


BEFORE = Facts(
    wires={"101": wire("640 mm")},
    splices={"S101": splice(f"dash, 40 mm along {THE_TRUNK}")},
    fuses={"F1": "7.5 A", "F2": "10 A"},
    devices={"lamp": IssuedDevice(title="Lamp", at="nose")},
)
NOW = Facts(
    wires={"102": wire("700 mm", "0.75 mm2")},
    splices={"S101": splice("dash, 40 mm along dash to nose")},
    fuses={"F1": "10 A"},
    devices={"lamp": IssuedDevice(title="Lamp", at="tail", part="lamp-12")},
)


def test_changes_are_said_in_german():
    with in_language("de"), unknown_words() as unknown:
        told = changes(BEFORE, NOW)
    assert unknown == set()
    assert told == (
        "Leitung 102 (war 101) jetzt 0,75 mm2, zuvor 0,5 mm2; 700 mm, zuvor 640 mm",
        "Spleiß S101 jetzt an dash, 40 mm entlang dash to nose, zuvor an dash, 40 mm entlang dem "
        "Hauptstrang",
        "Sicherung F1 jetzt 10 A, zuvor 7,5 A",
        "Sicherung F2 entfällt",
        "Gerät lamp jetzt an tail, zuvor an nose; Teil lamp-12, zuvor keines",
    )


def test_changes_are_said_in_english_as_revisions_keep_them():
    assert changes(BEFORE, NOW)[1] == (
        "splice S101 now at dash, 40 mm along dash to nose, was at dash, 40 mm along the trunk"
    )
