"""Readings of `buildbook diagnose` as they are typed: their form, what was meant, examples."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildbook.commands.print_messages import Unclear
from buildbook.words.joined import few_of

if TYPE_CHECKING:
    from buildbook.vehicle.model import Device, Vehicle

FORM = "a reading is a place and volts, ohms or amps, written PLACE=VALUE"
OPEN_OHM = 1e7
"""What a meter that shows no ohms is taken for."""
SEEN = ("horn", "lamp", "motor", "heater")
"""Kinds of devices that examples are taken from where there are some."""
LISTED = 12
"""Places of a device that are named."""
UNITS = {"v": "V", "volt": "V", "mv": "mV", "ohm": "ohm", "kohm": "kohm", "a": "A", "amp": "A"}
"""Units as they are typed, in small letters and one of them -> as they are read."""
NUMBER = r"[-+]?\d+(?:[.,]\d+)?\s*[a-zA-ZΩ]*|open|ol"
PLACE_FIRST = re.compile(
    rf"(?P<place>.+?)\s*(?:=|:|\s|@)\s*(?P<value>{NUMBER})\s*(?:@(?P<state>.+))?", re.IGNORECASE
)
VALUE_FIRST = re.compile(
    rf"(?P<value>{NUMBER})\s*(?:=|:|\s|@)\s*(?:(?:at|on|in)\s+)?(?P<place>[^@]+)(?:@(?P<state>.+))?",
    re.IGNORECASE,
)


class WithOwnReadings(click.Command):
    """A command whose help shows readings of the vehicle that is named beside `--help`."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Keeps what was typed: the help is printed before the vehicle is read."""
        ctx.meta["typed"] = list(args)
        return super().parse_args(ctx, args)

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Own readings, then what every command ends with."""
        folders = [Path(word) for word in ctx.meta.get("typed", ())]
        folder = next((path for path in folders if (path / "vehicle.yaml").is_file()), None)
        vehicle = vehicle_in(folder, None) if folder is not None else None
        if folder is not None and vehicle is not None:
            with formatter.section(f"Readings of {folder.name}"):
                formatter.write_dl(list(examples(vehicle)))
        super().format_epilog(ctx, formatter)


def vehicle_in(folder: Path, variant: str | None) -> Vehicle | None:
    """The vehicle with its pins, and nothing worked out; None where something is wrong in it."""
    from buildbook.description.read import read_folder
    from buildbook.vehicle.join import join

    contents, problems = read_folder(folder, variant)
    return join(contents)[0] if contents is not None and not problems else None


def refuse_malformed(
    folder: Path, variant: str | None, readings: Iterable[str], dead: Iterable[str]
) -> None:
    """Raises Unclear for what is no reading, before the car is broken for minutes.

    `dead` are the things that somebody measures at: their pins are the examples.
    """
    for text in readings:
        if said := wrong_form(text):
            vehicle = vehicle_in(folder, variant)
            if vehicle is not None:
                raise Unclear(f"--reading {text}: {said}", _hint(vehicle, text, dead))


def wrong_form(text: str) -> str:
    """What is wrong with the form of a reading; '' where it has one."""
    place, equals, said = text.partition("=")
    if not equals or not place.strip():
        return FORM
    try:
        measured(said.partition("@")[0])
    except ValueError as wrong:
        return str(wrong)
    return ""


def measured(said: str) -> tuple[str, float]:
    """Volts, ohms or amps, and how many; a bare number is volts. ValueError says what is wrong."""
    from buildbook.description.quantities import parse

    said = said.replace("Ω", " ohm").replace("Ohm", "ohm")
    if said.strip().lower() in ("open", "ol"):
        return "ohms", OPEN_OHM
    if said.strip().lstrip("+-").replace(".", "", 1).isdigit():
        return "volts", parse(f"{said} V", "V")
    refused: ValueError | None = None
    for what, unit in (("volts", "V"), ("ohms", "ohm"), ("amps", "A")):
        try:
            return what, parse(said, unit)
        except ValueError as wrong:
            refused = refused or wrong
    if "is not a unit" in str(refused):
        unit = said.strip().lstrip("+-.0123456789 ")
        raise ValueError(f"'{unit}' is neither volts nor ohms nor amps: write V, ohm or A")
    raise refused or ValueError(f"'{said}' is not what a meter shows")


def _hint(vehicle: Vehicle, text: str, dead: Iterable[str]) -> str:
    """What was probably meant, else an example at what is dead; and the places there."""
    meant, device = near_miss(vehicle, text)
    named = (vehicle.devices.get(name.partition(".")[0].partition("@")[0]) for name in dead)
    device = device or next((found for found in named if found is not None and found.pins), None)
    own = f"places there: {few_of(places_of(device), LISTED)}" if device is not None else ""
    if meant:
        return f"did you mean --reading {meant}? {own}".strip()
    shown = next(_own_examples(vehicle, device) if device is not None else examples(vehicle))
    return f"write for example {shown[0]}: {shown[1]}. {own}".strip()


def near_miss(vehicle: Vehicle, text: str) -> tuple[str, Device | None]:
    """The reading that was probably meant ('' where none is like it), and the device named."""
    for form in (PLACE_FIRST, VALUE_FIRST):
        found = form.fullmatch(text.strip())
        place, device = _place(vehicle, found["place"]) if found else ("", None)
        value = _value(found["value"]) if found else ""
        if found and place and value:
            state = f"@{found['state'].strip()}" if found["state"] else ""
            return quoted(f"{place}={value}{state}"), device
    device = _place(vehicle, text.partition("=")[0])[1]
    return "", device


def _place(vehicle: Vehicle, said: str) -> tuple[str, Device | None]:
    """A pin or fuse as it is called here, by its name, use or near it; the first of a device."""
    said = said.strip(" =:@,").replace(" ", " ")
    every = {name.lower(): name for name in (*vehicle.pins, *uses_of(vehicle), *vehicle.devices)}
    name = every.get(said.lower(), "")
    device = vehicle.devices.get(name) or vehicle.devices.get(name.partition(".")[0])
    if name in vehicle.devices and device is not None and device.kind != "fuse":
        return (device.pins[0].id if device.pins else ""), device
    return name, device


def _value(said: str) -> str:
    """A value as it is read: '12,4 volts' is '12.4V'; '' where it has no unit that fits."""
    found = re.fullmatch(
        r"([-+]?[\d.]+)\s*(.*)", said.strip().replace(",", ".").replace("Ω", "ohm")
    )
    if not found:
        return said.strip().lower()
    unit = found[2].strip().lower()
    known = UNITS.get(unit) or UNITS.get(unit.removesuffix("s"), "V" if not unit else "")
    return f"{found[1]}{known}" if known else ""


def uses_of(vehicle: Vehicle) -> dict[str, str]:
    """'ecu.injector 1' -> 'ecu.A1': pins by what they are for, the first of several."""
    found: dict[str, str] = {}
    for device in vehicle.devices.values():
        for pin in device.pins:
            if pin.use:
                found.setdefault(f"{device.id}.{pin.use}", pin.id)
    return found


def examples(vehicle: Vehicle) -> Iterator[tuple[str, str]]:
    """Readings of this vehicle, each with what it says."""
    loads = [d for d in vehicle.devices.values() if d.loads and d.pins]
    for device in sorted(loads, key=lambda d: d.kind not in SEEN)[:1]:
        yield from _own_examples(vehicle, device)
    for fuse in sorted(vehicle.all_of("fuse"), key=lambda f: f.written.bus is None)[:1]:
        at_rest = f"{fuse.id}={vehicle.description.vehicle.nominal:g}V"
        yield f"--reading {quoted(at_rest)}", f"volts behind the fuse {fuse.id}"
        yield f"--reading {quoted(f'{fuse.id}=2.1A')}", "amps through it"


def _own_examples(vehicle: Vehicle, device: Device) -> Iterator[tuple[str, str]]:
    first, last = device.pins[0], device.pins[-1]
    state = next((s for load in device.loads for s in sorted(load.states)), "")
    what = f", {first.use}," if first.use else ""
    at_rest = f"{first.id}={vehicle.description.vehicle.nominal:g}V"
    yield f"--reading {quoted(at_rest)}", f"volts at {first.id}{what} as a meter shows"
    if first.use and state:
        called = quoted(f"{device.id}.{first.use}=0V@{state}")
        yield f"--reading {called}", f"the pin by what it is for, in state {state}"
    yield f"--reading {quoted(f'{last.id}=0.3ohm')}", "ohms to the body, battery off, all unplugged"
    yield f"--reading {quoted(f'{last.id}=open')}", "no ohms at all"


def places_of(device: Device) -> list[str]:
    """'horn.1 (feed)'."""
    return [f"{pin.id} ({pin.use})" if pin.use else pin.id for pin in device.pins]


def places_like(vehicle: Vehicle, place: str, known: Mapping[str, str]) -> str:
    """The place that was probably meant, and the places of the device that was named."""
    from buildbook.description.suggest import did_you_mean

    name = place.partition(".")[0].lower()
    own = sorted(other for other in known if other.partition(".")[0].lower() == name)
    close = did_you_mean(place, [*known, *uses_of(vehicle)], known)
    said = [close] if close.startswith("did you mean") or not own else []
    if own:
        uses = {pin: use.partition(".")[2] for use, pin in uses_of(vehicle).items()}
        shown = [f"{other} ({uses[other]})" if other in uses else other for other in own]
        said.append(f"places there: {few_of(shown, LISTED)}")
    return " ".join(said)


def quoted(reading: str) -> str:
    """A reading for a shell, which takes a space for the end of a word."""
    return f'"{reading}"' if " " in reading else reading
