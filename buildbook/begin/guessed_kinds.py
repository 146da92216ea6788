"""What a device is, by what it is called in a table and by its pins."""

from __future__ import annotations

import re

GROUND = re.compile(r"(?i)\b(g\d*|gnd\d*|ground|earth|chassis|body|mass)\b")
WORDS = (
    ("fuse", r"fuse|\bf\d+\b"),
    ("relay", r"relay|\bk\d+\b"),
    ("battery", r"batter|\bbatt\b"),
    ("switch", r"switch|button|stalk|isolator|ignition lock|\bkey\b"),
    ("sensor", r"sensor|sender|probe|thermistor|pick-?up|\b(tps|map|iat|clt|ects?|ckp|cmp)\b"),
    ("controller", r"\becu\b|controller|\bmodule\b|\bpdm\b|\bcdi\b|flasher"),
    ("display", r"display|\bdash\b|gauge|instrument|tacho|speedo|\bclock\b"),
    ("lamp", r"lamp|light|indicator|\bled\b|bulb|beacon"),
    ("injector", r"injector"),
    ("ignition coil", r"\bcoils?\b"),
    ("starter", r"starter motor|^starter$"),
    ("horn", r"horn"),
    ("solenoid", r"solenoid|valve"),
    ("heater", r"heater|heated"),
    ("motor", r"pump|\bfan\b|motor|wiper|washer|blower"),
)
"""Kind -> words for it; the first that fits. Kinds that need an entry under `supply` are none."""
RELAY_FEET = {"30", "85", "86", "87", "87a"}
FUSE_ENDS = ({"in", "out"}, {"1", "2"}, {"a", "b"}, {"+", "-"})
POSTS = {"+": "+", "pos": "+", "positive": "+", "plus": "+", "b+": "+", "1": "+"}
POSTS |= {"-": "-", "neg": "-", "negative": "-", "minus": "-", "b-": "-", "gnd": "-", "2": "-"}


def kind_of(name: str, pins: list[str]) -> str:
    """The kind of a device; `load` where nothing says more."""
    if GROUND.search(name):
        return "ground"
    for kind, words in WORDS:
        if re.search(f"(?i){words}", name) and _fits(kind, pins):
            return kind
    return "load"


def _fits(kind: str, pins: list[str]) -> bool:
    if kind == "relay":
        return {pin.lower() for pin in pins} <= RELAY_FEET
    if kind == "fuse":
        return any({pin.lower() for pin in pins if pin} <= ends for ends in FUSE_ENDS)
    if kind == "battery":
        return all(pin.lower() in POSTS for pin in pins)
    return True


def pin_of(kind: str, pin: str) -> str:
    """A pin as devices of the kind have it."""
    if kind == "ground":
        return "stud"
    if kind == "battery":
        return POSTS[pin.lower()]
    if kind == "fuse":
        return "in" if pin.lower() in ("in", "1", "a", "+") else "out"
    if kind == "relay":
        return pin.lower()
    return pin
