"""What things are called in findings: as a builder knows them and looks for them."""

from __future__ import annotations

import re
from collections.abc import Iterable

from buildbook.description.expand.kinds import said_use
from buildbook.harness.model import End
from buildbook.vehicle.model import Connector, Device, Pin, Vehicle
from buildbook.words.joined import all_of
from buildbook.words.say import mark, say


def name_of(device: Device) -> str:
    """A device as a builder knows it: its title; a fuse, titled by what it feeds, by its id."""
    if device.kind != "fuse":
        return device.title
    if device.title == device.id:
        return say("fuse {id}", id=device.id)
    return say("fuse {id} ({title})", id=device.id, title=device.title)


def called(title: str, about: str) -> str:
    """A title with the id that stands on the label; once, where they say the same."""
    same = re.sub(r"[\s_-]", "", title.lower()) == re.sub(r"[\s_-]", "", about.lower())
    return title if same else f"{title} ({about})"


def named(vehicle: Vehicle, device: str) -> str:
    """A device by its id as a builder knows it."""
    return called(vehicle.devices[device].title, device) if device in vehicle.devices else device


def plug_of(connector: Connector) -> str:
    """A connector as a builder looks for it: 'the plug of Left fan (fan-left)', or a half."""
    name = called(connector.title, connector.id)
    half = connector.harness != ""
    return say("the {half}", half=name) if half else say("the plug of {device}", device=name)


def pin_name(pin: Pin) -> str:
    """A pin as a builder looks for it: 'ecu.A5 (main relay)', with what it is for where it says."""
    return f"{pin.id} ({said_use(pin.use)})" if pin.use else pin.id


def end_name(end: End) -> str:
    """A wire end as a builder looks for it: 'ecu.A5', 'splice S204', 'cap at R2'."""
    if end.kind == "splice":
        return say("splice {id}", id=end.node)
    return say("cap at {point}", point=end.point) if end.kind == "capped" else end.node


SENSES = frozenset(
    {
        mark("ntc", context="sensor"),
        mark("platinum", context="sensor"),
        mark("thermocouple", context="sensor"),
        mark("pressure", context="sensor"),
        mark("hall", context="sensor"),
        mark("inductive", context="sensor"),
        mark("knock", context="sensor"),
        mark("position", context="sensor"),
        mark("speed", context="sensor"),
    }
)
"""Kinds of sensors, as the description names them."""


def sensed(senses: str | None) -> str:
    """What kind of sensor it is, in words."""
    return say(senses, context="sensor") if senses in SENSES else senses or ""


def first_up(text: str) -> str:
    """The words as a sentence begins."""
    return text[:1].upper() + text[1:]


def with_others(found: str, others: Iterable[str]) -> str:
    """What is found of the first of several, and the others of which it is true as well."""
    named = ", ".join(others)
    return say("{found} So it is with {others}.", found=found, others=named) if named else found


def quoted(names: Iterable[str]) -> str:
    """'idle' and 'cranking': each as it is written in the description."""
    return all_of([say("'{name}'", name=name) for name in names])


def words(*texts: str) -> tuple[str, ...]:
    """The words of names and uses, in small letters."""
    return tuple(re.findall(r"[a-z0-9+]+", " ".join(texts).lower()))
