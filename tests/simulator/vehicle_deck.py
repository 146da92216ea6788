"""A deck of one vehicle in one state, from its YAML, the wires as built, and data sheets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from tests.simulator import sheets
from tests.simulator.deck import Deck
from tests.simulator.pulses import Pulses, pulses_of
from tests.simulator.read import amount, as_list, holds, pins_of
from tests.simulator.sensors import add_sensor, kind_of
from tests.simulator.supplies import add_supply, earthed_post

Data = dict[str, Any]
POWERED = "power"
LIKE = {"lamp": "filament", "motor": "motor", "starter": "motor"}


@dataclass
class Car:
    """One vehicle as written, what was built of it, and the state that its deck is of."""

    written: Data
    built: Data
    state: str
    pulses: Pulses
    deck: Deck

    @property
    def nominal_v(self) -> float:
        return amount(self.written["vehicle"].get("nominal", "12 V"))

    def device(self, name: str) -> Data:
        found: Data = self.written["devices"][name]
        return found

    def inside(self, device: str, pin: Any) -> str:
        return f"{device}.{pin}~"


def deck_of(written: Data, built: Data, state: str, sensor_ohm: float = sheets.SENSOR_OHM) -> Deck:
    """The whole vehicle; node 0 is inside the earthed post."""
    deck = Deck(f"{earthed_post(written)}~", sensor_ohm=sensor_ohm)
    car = Car(written, built, state, pulses_of(written), deck)
    _wires(car)
    _contacts(car)
    for name, device in written["devices"].items():
        _device(car, name, device)
    add_supply(car.deck, written, state)
    return car.deck


def _wires(car: Car) -> None:
    for wire in car.built["wires"]:
        length_m, celsius = wire["cut_length_m"], wire["conductor_c"]
        ohms = sheets.warm(ohm_per_m(car.written, wire) * length_m, celsius)
        splices = {s["id"] for s in car.built["splices"]}
        ohms += sheets.SPLICE_OHM * sum(wire[end] in splices for end in ("from", "to"))
        car.deck.resistor(wire["from"], wire["to"], ohms)


def ohm_per_m(written: Data, wire: Data) -> float:
    """By the sheet of a wire of the author's own, else by the handbook."""
    own = written.get("wires", {}).get(wire["family"], {}).get("sizes", [])
    for row in own:
        if row["size"] == wire["size"]:
            return amount(row["resistance of 1 km"]) / 1000
    return sheets.ohm_per_m(wire["size"])


def ends_of(built: Data) -> Iterator[tuple[str, str]]:
    """Every end of a wire, with the family of its contact."""
    for wire in built["wires"]:
        for end in ("from", "to"):
            yield wire[end], wire[f"{end}_contact"]


def _contacts(car: Car) -> None:
    """Where a pin mates: of a device with its inside, of two halves of a pass-through."""
    halves: dict[str, dict[str, str]] = {}
    done = set[str]()
    splices = {s["id"] for s in car.built["splices"]}
    for node, family in ends_of(car.built):
        if node in done or node in splices or family not in sheets.CONTACT_OHM:
            continue
        done.add(node)
        pin, _, half = node.partition("/")
        if half:
            halves.setdefault(pin, {})[node] = family
        else:
            car.deck.resistor(node, f"{node}~", sheets.CONTACT_OHM[family])
    for sides in halves.values():
        if len(sides) == 2:
            car.deck.resistor(*sides, sheets.CONTACT_OHM[next(iter(sides.values()))])


def _device(car: Car, name: str, device: Data) -> None:
    kinds = {"fuse": _fuse, "ground": _ground, "relay": _relay}
    if (make := kinds.get(device["kind"])) is not None:
        make(car, name, device)
    for contact in as_list(device.get("contacts")):
        if holds(contact.get("closed", []), car.state):
            ohms = _switch_ohms(car, name, (contact["from"], contact["to"]), contact.get("limit"))
            car.deck.resistor(
                car.inside(name, contact["from"]), car.inside(name, contact["to"]), ohms
            )
    if POWERED in device:
        _controller(car, name, device)
    given = {str(pin): g for pin, g in (device.get("gives") or {}).items() if kind_of(g)}
    for draw in as_list(device.get("draws")):
        ends = {*ends_of_draw(device, draw, car.written["plugs"])}
        signal = next((pin for pin in given if {pin, return_of(device, pin)} == ends), None)
        if signal is None:
            _draw(car, name, device, draw)
        elif holds(draw.get("in"), car.state):
            needs_v = amount(draw.get("works from", 0))
            sensor = {"return": return_of(device, signal), **given[signal]}
            add_sensor(car.deck, name, signal, sensor, needs_v)


def return_of(device: Data, pin: str) -> str:
    """Where a signal comes back: as it says, else the device's other pin."""
    said = device["gives"][int(pin) if pin.isdigit() and int(pin) in device["gives"] else pin]
    others = [str(other) for other in device["pins"] if str(other) != pin]
    return str(said.get("return", others[0]))


def _switch_ohms(car: Car, name: str, pins: tuple[Any, Any], limit: Any) -> float:
    """Of a power contact between studs by its rating, of any other a few milliohms."""
    families = dict(ends_of(car.built))
    studs = all(families.get(f"{name}.{pin}", "").startswith("ring") for pin in pins)
    if studs and limit is not None:
        return sheets.POWER_CONTACT_V / amount(limit)
    return sheets.SWITCH_OHM


def _fuse(car: Car, name: str, device: Data) -> None:
    rating = next(row["rating_a"] for row in car.built["fuses"] if row["fuse"] == name)
    car.deck.resistor(f"{name}.in~", f"{name}.out~", sheets.FUSE_V / rating)
    if "bus" in device:
        bus = car.inside(device["on"], device["bus"])
        car.deck.resistor(bus, f"{name}.in~", sheets.BAR_OHM)
    for node in (f"{name}.in", f"{name}.out"):
        if node not in dict(ends_of(car.built)):
            car.deck.resistor(node, f"{node}~", sheets.SWITCH_OHM)


def _ground(car: Car, name: str, device: Data) -> None:
    joint = amount(device["joint"]) if "joint" in device else sheets.JOINT_OHM
    for node in dict.fromkeys(n for n, _ in ends_of(car.built) if n.startswith(f"{name}.")):
        car.deck.resistor(f"{node}~", "chassis", joint)


def _relay(car: Car, name: str, device: Data) -> None:
    coil = device.get("coil") or {}
    ohms = amount(coil.get("ohms", "90 ohm"))
    pulls = amount(coil.get("pulls in", sheets.PULL_IN)) * car.nominal_v
    drops = amount(coil.get("drops out", sheets.DROP_OUT)) * car.nominal_v
    ends = car.inside(name, 86), car.inside(name, 85)
    car.deck.resistor(*ends, ohms)
    wired = {n for n, _ in ends_of(car.built)}
    for pin, rest in (("87", "open"), ("87a", "closed")):
        if f"{name}.{pin}" in wired:
            contact = _switch_ohms(car, name, ("30", pin), device.get("rating"))
            joined = car.inside(name, 30), car.inside(name, pin)
            car.deck.switch(joined, ends, pulls, drops, contact, rest, either_way=True)


def _controller(car: Car, name: str, device: Data) -> None:
    """Ground plane and feeds; outputs, pull-ups and voltages while it has what it works from."""
    power = device["power"]
    feeds, grounds = (
        [car.inside(name, pin) for pin in as_list(power[k])] for k in ("feeds", "grounds")
    )
    for group in (feeds, grounds):
        for other in group[1:]:
            car.deck.resistor(group[0], other, sheets.BAR_OHM)
    alive = (feeds[0], grounds[0])
    least = amount(power.get("works from", "6 V"))
    for pin, driver in (device.get("drivers") or {}).items():
        if "leaks" in driver:
            rail = grounds[0] if driver.get("side", "low") == "low" else feeds[0]
            through = car.inside(name, driver["through"]) if "through" in driver else rail
            leak_ohm = car.nominal_v / amount(driver["leaks"])
            car.deck.resistor(car.inside(name, pin), through, leak_ohm)
        if driver.get("side") == "push-pull":
            _push_pull(car, name, pin, driver, (feeds[0], grounds[0]), least)
            continue
        if not holds(driver.get("on", []), car.state):
            continue
        rail = grounds[0] if driver.get("side", "low") == "low" else feeds[0]
        through = car.inside(name, driver["through"]) if "through" in driver else rail
        out, duty = car.inside(name, pin), car.pulses.of_driver.get(f"{name}.{pin}", 1.0)
        on_ohm = amount(driver.get("ohms", sheets.OUTPUT_OHM))
        if duty < 1:
            inner = f"{out}!"
            hertz, late = car.pulses.rhythm(f"{name}.{pin}")
            car.deck.pulsed(out, inner, on_ohm, duty, hertz, late)
            car.deck.switch((inner, through), alive, least, least - 0.2, 1e-6)
        else:
            car.deck.switch((out, through), alive, least, least - 0.2, on_ohm)
    for pin, given in (device.get("inputs") or {}).items():
        if "pull up" in given:
            ohms, volts = amount(given["pull up"]), amount(given.get("to", "5 V"))
            _given_out(car, name, pin, given, volts, ohms, alive, least)
    for pin, given in (device.get("sources") or {}).items():
        ohms, volts = amount(given.get("through", "0.5 ohm")), amount(given["volts"])
        _given_out(car, name, pin, given, volts, ohms, alive, least)


def _push_pull(
    car: Car, name: str, pin: Any, driver: Data, alive: tuple[str, str], least: float
) -> None:
    """To the feed while it is on, in pulses to either; else to ground, unless it is released."""
    out = car.inside(name, pin)
    up = car.inside(name, driver["through"]) if "through" in driver else alive[0]
    down = car.inside(name, driver["ground"]) if "ground" in driver else alive[1]
    ohms = amount(driver.get("ohms", sheets.OUTPUT_OHM))
    duty = car.pulses.of_driver.get(f"{name}.{pin}", 1.0)
    if holds(driver.get("on"), car.state):
        if duty == 1:
            car.deck.switch((out, up), alive, least, least - 0.2, ohms)
            return
        inner = f"{out}!"
        hertz, late = car.pulses.rhythm(f"{name}.{pin}")
        car.deck.push_pull(inner, (up, down), ohms, duty, hertz, late)
        car.deck.switch((out, inner), alive, least, least - 0.2, 1e-6)
    elif not holds(driver.get("released", []), car.state):
        car.deck.switch((out, down), alive, least, least - 0.2, ohms)


def _given_out(
    car: Car,
    name: str,
    pin: Any,
    given: Data,
    volts: float,
    ohms: float,
    alive: tuple[str, str],
    least: float,
) -> None:
    """Volts behind a resistance, on a pin, while the controller is alive."""
    minus = car.inside(name, given["ground"]) if "ground" in given else alive[1]
    inner = f"{name}.{pin}!"
    car.deck.source(inner, minus, volts, ohms)
    car.deck.switch((inner, car.inside(name, pin)), alive, least, least - 0.2, 1e-6)


def _draw(car: Car, name: str, device: Data, draw: Data) -> None:
    a, b = (car.inside(name, pin) for pin in ends_of_draw(device, draw, car.written["plugs"]))
    volts = amount(draw["at"]) if "at" in draw else car.nominal_v
    by_kind = LIKE.get(device["kind"], "resistor")
    if "ohms" in draw or (by_kind == "motor" and "duty" in draw):
        by_kind = "resistor"
    amps = _amps(draw, volts)
    if POWERED in device and _is_own_supply(device, draw):
        if not holds(draw.get("in"), car.state):
            return
        least = amount(device["power"].get("works from", "6 V"))
        car.deck.switch((a, f"{a}!{b}"), (a, b), least, least - 0.2, 1e-6)
        a = f"{a}!{b}"
    elif (own := car.pulses.own.get(f"{name}.{draw_number(device, draw)}")) is not None:
        if not holds(draw.get("in"), car.state):
            return
        hertz, late = car.pulses.rhythm(f"{name}.{draw_number(device, draw)}")
        car.deck.pulsed(a, f"{a}!{b}", 1e-6, own, hertz, late)
        a = f"{a}!{b}"
    like = draw.get("like", by_kind)
    if like == "filament":
        cold = amount(draw["cold"]) if "cold" in draw else None
        car.deck.filament(a, b, volts, amps, cold)
    elif like == "motor":
        car.deck.motor(a, b, volts, amps, _stall_a(draw, amps), draw.get("turns"))
    elif like == "transmitter":
        car.deck.transmitter(a, b, amps, amount(draw.get("works from", 0.75 * car.nominal_v)))
    else:
        car.deck.resistor(a, b, volts / amps)


def draw_number(device: Data, draw: Data) -> int:
    return next(i for i, other in enumerate(as_list(device["draws"])) if other is draw)


def _amps(draw: Data, volts: float) -> float:
    if "ohms" in draw:
        return volts / amount(draw["ohms"])
    return amount(draw["amps"]) if "amps" in draw else amount(draw["watts"]) / volts


def _stall_a(draw: Data, amps: float) -> float | None:
    if "stall" in draw:
        return amount(draw["stall"])
    started = amount(draw["inrush"].partition(" for ")[0]) if "inrush" in draw else 0.0
    return started if started > amps else None


def ends_of_draw(device: Data, draw: Data, plugs: Data) -> tuple[str, str]:
    """The two pins, said or left to the device's only two, or to its feed and ground."""
    if POWERED in device:
        power = device["power"]
        feed, ground = as_list(power["feeds"])[0], as_list(power["grounds"])[0]
        return str(draw.get("from", feed)), str(draw.get("to", ground))
    pins = pins_of(device, plugs)
    first = str(draw.get("from", pins[0]))
    return first, str(draw.get("to", next(p for p in pins if p != first)))


def _is_own_supply(device: Data, draw: Data) -> bool:
    """Whether a draw is what the electronics themselves live on."""
    power = device["power"]
    feeds, grounds = ([str(p) for p in as_list(power[k])] for k in ("feeds", "grounds"))
    first, second = str(draw.get("from", feeds[0])), str(draw.get("to", grounds[0]))
    return first in feeds and second in grounds
