"""Finds relays and outputs that buzz: what they switch opens them, and as they open closes them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from buildbook.checks.buzzing import buzzes_in, restless_states
from buildbook.checks.conducting import conducting_pairs, earthed_ends, live_ends, reach
from buildbook.checks.model import Finding
from buildbook.checks.naming import called, quoted
from buildbook.checks.stages import Assessed
from buildbook.electrical.network import inside
from buildbook.vehicle.model import Contact, Device
from buildbook.words.joined import all_of
from buildbook.words.say import say

RULE = "contact-unsettled"
SEVERITY = "error"
SOURCE = "the solution of each state: contacts that it asks to close when open and open when closed"


def check(assessed: Assessed) -> Iterator[Finding]:
    """One finding a device, with all states in which something of it does not come to rest."""
    devices = assessed.vehicle.devices.values()
    states_of = {device.id: buzzes_in(device, assessed.solved) for device in devices}
    for device in devices:
        if states := states_of[device.id]:
            beside = [d for d in devices if d is not device and set(states) & set(states_of[d.id])]
            why, remedy = _why(assessed, device, beside)
            text = say(
                "{device} buzzes in {states}: {why}. No volts there are sure, nor the sizes that "
                "follow from them.",
                device=called(device.title, device.id),
                states=quoted(states),
                why=why,
            )
            yield _finding(device, text, remedy)
    restless = restless_states(assessed.solved)
    for battery in assessed.vehicle.supply.batteries:
        if states := restless.get(battery.id, []):
            device = assessed.vehicle.devices[battery.plus_pin.rpartition(".")[0]]
            text = say(
                "{device} and the alternator agree on no voltage in {states}. No volts there are "
                "sure, nor the sizes that follow from them.",
                device=called(device.title, device.id),
                states=quoted(states),
            )
            remedy = say("Compare what is written of both (supply) with their data sheets.")
            yield _finding(device, text, remedy)


def _why(assessed: Assessed, device: Device, beside: list[Device]) -> tuple[str, str]:
    """Why a device does not come to rest, and what to do about it."""
    restless = restless_states(assessed.solved)
    own = [c for c in device.contacts if f"contact:{c.id}" in restless]
    feeding = [c for c in own if c.inverted and _hangs_on(assessed, device, [c])]
    if feeding:
        return (
            say(
                "its coil hangs on its own break contact {name}. It pulls in, the "
                "contact opens and the coil is dead; it lets go, the contact closes, "
                "and so on",
                name=_name(feeding[0]),
            ),
            say(
                "Join the coil (85 and 86) to a feed and a ground that this relay does "
                "not switch. What is meant to blink needs a flasher unit."
            ),
        )
    for other in beside:
        if _hangs_on(assessed, device, other.contacts):
            return (
                say(
                    "it is fed through {other}, which buzzes as well",
                    other=called(other.title, other.id),
                ),
                say("Feed it from what neither it nor {other} switches.", other=other.id),
            )
    if device.kind != "relay":
        return (
            say(
                "what its outputs switch takes away the volts that it works from, and "
                "as it stops they come back"
            ),
            say("Feed it from before what it switches, by a thicker or shorter way."),
        )
    return (
        say(
            "what its contact {contacts} switches takes away the volts that its coil pulls in by, "
            "and as it lets go they come back",
            contacts=all_of([_name(contact) for contact in own]),
        ),
        say(
            "Feed the coil from before what the contact loads, or that load by a "
            "thicker way of its own; see that it is no short circuit."
        ),
    )


def _hangs_on(assessed: Assessed, device: Device, contacts: Iterable[Contact]) -> bool:
    """Whether what works a device leads to a battery post through these contacts alone."""
    edges = set(conducting_pairs(assessed.vehicle, assessed.harness))
    without = edges - {(inside(c.from_pin), inside(c.to_pin)) for c in contacts}
    posts = (*live_ends(assessed.vehicle), *earthed_ends(assessed.vehicle))
    closed, opened = (
        frozenset().union(*(reach(some, post) for post in posts)) for some in (edges, without)
    )
    controls = {inside(pin) for c in device.contacts for pin in c.control or ()}
    return bool(controls & (closed - opened))


def _name(contact: Contact) -> str:
    """'30-87a'."""
    return contact.id.removeprefix(f"{contact.device}.")


def _finding(device: Device, text: str, remedy: str) -> Finding:
    return Finding(RULE, "error", device.id, text, remedy, SOURCE, device.where)
