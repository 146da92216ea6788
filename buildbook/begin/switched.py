"""Loads that are switched from afar: by a relay on the panel, or by an output of a module."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.begin.sheet import Sheet

MODULE_A = 20
"""What an output of the module carries at 12 V (common practice, no source)."""


@dataclass(frozen=True)
class Load:
    """What is switched, and by what."""

    name: str
    system: str
    to: str
    """Pins that are fed, with commas between."""
    back: str
    """Pins that are returned; '' where another circuit says it."""
    at: str
    """Point of the ground that they are returned to."""
    states: str
    """When it is on, as the description says it."""
    high: str = ""
    """A pin that gives it the battery's volts, …"""
    low: str = ""
    """… or one that pulls to ground."""
    critical: bool = False
    coils: bool = True
    """Whether its coil hangs on the fuse of what pulls it to ground; else on its own feed."""


def switch(sheet: Sheet, load: Load) -> None:
    """Add a relay or an output for a load, with its feed, its ground and its control."""
    if sheet.answers.switching == "modules":
        _by_module(sheet, load)
    else:
        _by_relay(sheet, load)


def _by_relay(sheet: Sheet, load: Load) -> None:
    sheet.fuses += 1
    own = f"F{sheet.fuses}"
    fed = load.high or (load.coils and sheet.coils) or ("30" if sheet.plus == "86" else own)
    earthed = sheet.ground("dash") if load.high else load.low
    coil = f"{sheet.plus}: {fed}, {sheet.minus}: {earthed}"
    back = f", ground: {sheet.ground(load.at)}" if load.back else ""
    critical = ", critical: yes" if load.critical else ""
    to = f"[{load.to}]" if "," in load.to else load.to
    sheet.feeds.append(
        f"  {load.name}: {{fuse: {own}, bus: B, relay: {sheet.relay()}, {coil}, "
        f"to: {to}{back}, system: {load.system}{critical}}}"
    )


def _by_module(sheet: Sheet, load: Load) -> None:
    sheet.switched.append(load.name)
    number = len(sheet.switched)
    critical = "critical: yes" if load.critical else ""
    limit = MODULE_A * 12 / sheet.answers.volts
    sheet.outputs.append(
        f"O{number}: {{side: high, through: M, limit: {limit:g} A, ohms: 5 mohm, "
        f"trips: [{1.2 * limit:g} A within 2 s, {4 * limit:g} A within 1 ms], leaks: 20 uA, "
        f'suppressed: yes, "on": {load.states}}}'
    )
    sheet.circuit(f"{load.name} feed", load.system, f"module.O{number}, {load.to}", critical)
    if load.back:
        joined = f"{load.back}, {sheet.ground(load.at)}"
        sheet.circuit(f"{load.name} ground", load.system, joined, critical)
    asked = f"{load.high or load.low}, module.I{number}"
    sheet.circuit(f"{load.name} control", load.system, asked, "signal: yes")
    if load.high:
        sheet.senses.append(
            f"{{from: I{number}, to: G, ohms: 10 kohm, in: {load.states}, "
            f"works from: {sheet.volts(6)}, what: the module sees that the {load.name} is asked "
            "for}"
        )
    else:
        sheet.inputs.append(f"I{number}: {{pull up: 4.7 kohm, to: 5 V}}")


def module(sheet: Sheet) -> None:
    """Add the module itself, once all that it switches is known; nothing where it has nothing."""
    if not sheet.switched:
        return
    ring, blade = "contact: ring-M6", "contact: blade-6.3"
    pins = [
        f"M: {{use: feed, {ring}}}",
        f"C: {{use: feed of its electronics, {blade}}}",
        f"G: {{use: ground, {ring}}}",
    ]
    for number, name in enumerate(sheet.switched, start=1):
        pins.append(f"O{number}: {{use: {name}, {blade}}}")
        pins.append(f"I{number}: {{use: {name} control, {blade}}}")
    draw = (
        f"{{from: C, to: G, amps: {sheet.amps(0.08)}, at: {sheet.volts(13.5)}, in: awake, "
        f"works from: {sheet.volts(5)}, what: the light on the module is on}}"
    )
    sheet.systems["module"] = "Solid-state module"
    sheet.devices += [
        "  module: # TO DO: limits, trips and terminals from the module's own sheet",
        "    kind: controller",
        "    name: Solid-state module",
        "    at: panel",
        "    system: module",
        f"    pins: {{{', '.join(pins)}}}",
        f"    power: {{feeds: C, grounds: G, works from: {sheet.volts(5)}}}",
        "    draws:",
        *(f"      - {line}" for line in (draw, *sheet.senses)),
        *(["    inputs:"] if sheet.inputs else []),
        *(f"      {line}" for line in sheet.inputs),
        "    drivers: # each switches itself off when too much flows",
        *(f"      {line}" for line in sheet.outputs),
    ]
    sheet.devices.append(
        "  MF3: {kind: fuse, name: Module feed, at: panel, system: module, fuse: bolted, "
        "contact: ring-M6}"
    )
    sheet.circuit("module fuse feed", "module", "panel.B, MF3.in")
    sheet.circuit("module feed", "module", "MF3.out, module.M")
    sheet.circuit("module ground", "module", f"module.G, {sheet.ground('dash')}")
    sheet.feed("module electronics", "module", "module.C", bus="I")
