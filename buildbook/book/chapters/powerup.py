"""First power-up: checks with the fuses out, then fuses in one by one, then the first start."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from buildbook.book.chapter import Chapter
from buildbook.book.dangers import caution_words, dangers_of
from buildbook.book.drawings import Drawings
from buildbook.book.fault_wording import named_or_counted
from buildbook.book.formats import ohms_or_open, plain
from buildbook.book.sensor_wording import as_it_stands, described_sensors
from buildbook.book.shared_rows import by_column, current, state_columns, unique
from buildbook.electrical.ohmmeter import OPEN_OHMS
from buildbook.faultfinding.lamp_in_the_feed import TEST_LAMP_W
from buildbook.faultfinding.power_up import LIMITER_A, FeedCheck, FuseStep
from buildbook.result import Result
from buildbook.sizing.model import FuseSizing
from buildbook.vehicle.model import Device, Pin, Source
from buildbook.words.say import mark, say

STIFF_OHM = 5.0
"""A source behind less than this feeds sensors; behind more it pulls an input up."""

METER_OHMS = 0.5
"""A good ground reads less than this on a hand meter, its leads' own ohms taken off. Common
practice, no source."""

GROUND_A = 10.0
"""Current at which the drop over a ground is given: a meter tells it there."""

DRAWS_A = 0.001
"""A fuse that carries less feeds nothing that works yet."""

WAKES_NAMED = 4
"""Devices that a step names before the rest are only counted."""


RISKS = ("", mark("takes much current"), mark("moves"), mark("fuel or sparks"))
"""What a fuse can do if something behind it is wrong, by its risk."""


def chapters(result: Result, drawings: Drawings) -> tuple[Chapter, ...]:
    sequence = result.power_up
    context: dict[str, object] = {
        "dangers": dangers_of(result.vehicle),
        "caution_words": caution_words(),
        "lamp_words": lamp_words(),
        "sequence": sequence,
        "feeds": [
            (check, result.vehicle.devices[check.fuse], least_in(check)) for check in sequence.feeds
        ],
        "main": about(sequence.main.ohms),
        "meter_ohms": METER_OHMS,
        "limiter_a": LIMITER_A,
        "lamp_w": TEST_LAMP_W,
        "steps": [step_row(result, step) for step in sequence.steps],
        "states": state_columns(result.vehicle.states),
        "fuses": [
            (result.vehicle.devices[step.fuse], fuse_currents(result, step.fuse))
            for step in sequence.steps
        ],
        "sources": reference_rows(result),
        "sensors": [
            (view, row)
            for view in described_sensors(result)
            if result.vehicle.devices[view.table.device].written.fitted == "yes"
            and (row := as_it_stands(view))
        ],
        "grounds": [
            (result.vehicle.devices[result.vehicle.pins[check.pin].device], check.ohms * GROUND_A)
            for check in sequence.grounds
        ],
        "ground_a": GROUND_A,
        "battery": result.vehicle.supply.battery_data,
        "splices": tuple(result.harness.splices.values()),
    }
    context["numbers"] = part_numbers(bool(context["sources"]), bool(context["sensors"]))
    return (Chapter("powerup", say("First power-up"), "powerup.html", context),)


def about(ohms: float) -> str:
    """What an ohmmeter shows, near enough: 'about 12 Ω', or 'open'."""
    shown = ohms_or_open(ohms)
    return shown if ohms >= OPEN_OHMS else say("about {ohms}", ohms=shown)


def least_in(check: FeedCheck) -> str:
    """The state whose switches give the least ohms; any, where none of them leads anywhere."""
    return say("any", context="state") if check.least_ohms >= OPEN_OHMS else check.state


def lamp_words() -> dict[str, str]:
    """How a test lamp in place of the battery's feed looks, as printed."""
    return {
        "glows": say("lamp glows"),
        "bright": say("lamp bright"),
        "flickers": say("lamp flickers"),
    }


def fuse_currents(result: Result, fuse: str) -> tuple[tuple[float, ...], ...]:
    """Amps through a fuse in every state, in the columns of the states."""
    return by_column(result, lambda state: current(result, state, f"fuse:{fuse}"))


def part_numbers(sources: bool, sensors: bool) -> dict[str, int]:
    """Numbers of the parts after the fourth; one that has nothing to say is left out."""
    return {"sources": 5, "sensors": 5 + sources, "start": 5 + sources + sensors}


@dataclass(frozen=True)
class StepRow:
    """A step with its fuse, rating, what wakes and what to beware of."""

    step: FuseStep
    fuse: Device
    draws: bool
    """Something works through the fuse already."""
    rating: FuseSizing | None
    risk: str
    cautions: tuple[str, ...]
    wakes: str
    feeds: str


def step_row(result: Result, step: FuseStep) -> StepRow:
    """A step in words."""
    devices = result.vehicle.devices
    near = [devices[name] for name in step.feeds]
    cautions = unique(device.written.caution for device in near if device.written.caution)
    sparks = any(device.kind == "ignition coil" for device in near)
    return StepRow(
        step,
        devices[step.fuse],
        step.fuse_a >= DRAWS_A,
        result.sizing.fuses.get(step.fuse),
        say(RISKS[step.risk]) if step.risk else "",
        (*cautions, *(("ignition",) if sparks else ())),
        named(devices[name] for name in step.wakes),
        named(near),
    )


def named(devices: Iterable[Device]) -> str:
    """Titles of the first few devices, the rest counted; '' for none."""
    titles = unique(device.title or device.id for device in devices)
    return named_or_counted(titles, WAKES_NAMED) if titles else ""


def reference_rows(result: Result) -> list[tuple[Device, float, str, str, list[Pin]]]:
    """Device, volts unloaded, what stands behind them, return pin, and the pins that give them."""
    rows: dict[tuple[str, float, str, str], list[Pin]] = {}
    for device in result.vehicle.devices.values():
        for source in device.sources:
            key = (device.id, source.volts, behind(source), source.minus_pin)
            rows.setdefault(key, []).append(result.vehicle.pins[source.plus_pin])
    return [(result.vehicle.devices[key[0]], *key[1:], pins) for key, pins in rows.items()]


def behind(source: Source) -> str:
    """'supply, 0.25 A at most' for a stiff source, else its series resistance."""
    if source.ohms < STIFF_OHM:
        return say("supply, {amps:g} A at most", amps=source.limit_a)
    return f"{plain(source.ohms / 1000)} kΩ" if source.ohms >= 1000 else f"{plain(source.ohms)} Ω"
