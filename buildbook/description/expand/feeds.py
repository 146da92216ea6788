"""Writes out feeds: one line of bus, fuse and relay becomes the devices and circuits of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from buildbook.description.expand.pins_by_use import Finder
from buildbook.description.models.feeds import Feed as FeedModel
from buildbook.description.tree import at, check_keys, entries, listed, mapping, one_or_more, word
from buildbook.description.yaml_reader import Node, scalar
from buildbook.figures import counted
from buildbook.problem import Problem, Where

OF_CIRCUIT = (
    "about",
    "capped at",
    "colour",
    "drop",
    "family",
    "harness",
    "least size",
    "most size",
    "signal",
    "size",
    "splice at",
    "status",
    "wires",
)
"""Keys of a feed that its circuit to the load takes over."""
OF_RETURN = ("family", "least size", "most size", "size", "splice at")
"""Those that the circuit back to ground takes over too: as much flows there."""
FEED_KEYS = [field.alias or name for name, field in FeedModel.model_fields.items()]
RELAY_KIND = "panel relay"
BY = "feed "
"""Goes before the name of a feed in what it made."""
COIL_ENDS = (".85", ".86")
STUDS = ("ground", "panel", "battery", "isolator")
"""Kinds with studs, each of which takes the wires of several circuits."""
FED, RETURNED = "<fed>", "<returned>"
"""Stand for the pin at which a device is fed or returned, where only the device is named."""


@dataclass(frozen=True)
class Feeds:
    """What all entries of `feeds` add to."""

    devices: dict[str, Node]
    circuits: dict[str, Node]
    rope: Node | None
    problems: list[Problem]
    made: set[str] = field(default_factory=set)
    """Names of the devices and circuits that feeds made."""
    coils: list[tuple[Feed, str, Node]] = field(default_factory=list)
    """Feed, the fuse that its relay's coil hangs on, and the coil's pin."""
    controls: list[tuple[Feed, str]] = field(default_factory=list)
    """Feed, and the circuit that was made from its relay's coil to what switches it."""
    by_fuse: dict[str, Feed] = field(default_factory=dict)
    """Fuse -> the feed that made it."""

    def panels(self, stud: str) -> list[str]:
        """Names of the panels that have a stud; of all where none has it."""
        every = [name for name, d in self.devices.items() if word(d, "kind") == "panel"]
        having = [
            name
            for name in every
            if Finder(self.devices[name])(stud) in entries(at(self.devices[name], "pins"))
        ]
        return having or every

    def jumper_harness(self, panel: str) -> str:
        """Where several harnesses begin at the panel, the one with most ropes has its jumpers."""
        point = word(self.devices.get(panel), "at") or panel
        ropes = {name: listed(at(h, "runs")) for name, h in entries(self.rope).items()}
        there = {
            name: len(runs)
            for name, runs in ropes.items()
            if any(point in (word(run, "from"), word(run, "to")) for run in runs)
        }
        return max(there, key=lambda name: there[name]) if len(there) > 1 else ""


@dataclass(frozen=True)
class Feed:
    """One entry of `feeds`."""

    name: str
    row: Node
    where: Where
    panel: str
    all: Feeds

    @property
    def by(self) -> str:
        return f"{BY}{self.name}"

    @property
    def title(self) -> str:
        return word(self.row, "name") or self.name[:1].upper() + self.name[1:]

    def say(self, key: str, what: str, hint: str = "") -> None:
        """Note a problem at a key of the entry, or where there is none at its name."""
        self.all.problems.append(Problem(self.row.keys.get(key, self.where), what, "", hint))

    def kept(self, *keys: str) -> dict[str, object]:
        """What the entry says under some keys."""
        return {key: entries(self.row)[key] for key in keys if key in entries(self.row)}

    def add(self, known: dict[str, Node], name: str, value: dict[str, object], key: str) -> None:
        """Add a device or circuit, below what the author writes of it."""
        given = {what: node for what, node in value.items() if node is not None}
        node = _made(given, self.row.keys.get(key, self.where), self.by)
        said = known.get(name)
        if name in self.all.made:
            self.say(key, f"another feed makes `{name}` already", "give one another name")
        elif said is not None:
            known[name] = mapping({**entries(node), **entries(said)}, said, node.keys)
        else:
            known[name] = node
        self.all.made.add(name)


def written_out(tree: Node, problems: list[Problem]) -> Node:
    """The tree without its feeds, with the fuses, relays, jumpers and circuits that they mean."""
    sections = dict(entries(tree))
    feeds = sections.pop("feeds", None)
    if feeds is None:
        return tree
    devices, circuits = sections.get("devices"), sections.get("circuits")
    every = Feeds(dict(entries(devices)), dict(entries(circuits)), sections.get("rope"), problems)
    made: list[Feed] = []
    without: list[Feed] = []
    for name, row in entries(feeds).items():
        panels = every.panels(word(row, "bus"))
        panel = word(row, "on") or next(iter(panels), "")
        feed = Feed(name, row, feeds.keys[name], panel, every)
        if not isinstance(row.value, dict):
            feed.say("", f"the feed `{name}` must be written as settings with names", "{fuse: F1}")
        elif not panel:
            without.append(feed)
        elif not word(row, "on") and len(panels) > 1:
            feed.say("", f"on which panel is the fuse of `{name}`?", f"write `on: {panel}`")
        else:
            check_keys(row, FEED_KEYS, f"`feeds` `{name}`", problems)
            made.append(feed)
            _make_devices(feed)
    _tell_without_panel(without)
    for feed in made:
        _make_circuits(feed)
    waiting = [name for _, name in every.controls]
    for feed, name in every.controls:
        waiting.remove(name)
        _share(feed, name, waiting)
    for feed, fuse, pin in every.coils:
        _hang_on(feed, fuse, pin)
    places = {"devices": feeds.where, "circuits": feeds.where}
    # numbers follow the order of circuits: what feeds comes before what is fed
    first = {name: node for name, node in every.circuits.items() if name in every.made}
    for name, values in (("devices", every.devices), ("circuits", {**first, **every.circuits})):
        old = sections.get(name) or Node({}, feeds.where)
        sections[name] = mapping(values, old)
    return mapping(sections, tree, {name: places[name] for name in places if name not in tree.keys})


def _tell_without_panel(feeds: Sequence[Feed]) -> None:
    """One thing lacks for all of them, so it is told once."""
    if feeds:
        others = counted(len(feeds) - 1, "other feed")
        more = f" of `{feeds[0].name}` and those of {others}" if len(feeds) > 1 else ""
        feeds[0].say("", f"there is no panel for the fuse{more}", "add a device of kind panel")


def _make_devices(feed: Feed) -> None:
    """The fuse, and the relay where there is one."""
    row = feed.row
    fuse, relay = word(row, "fuse"), word(row, "relay")
    if not fuse:
        feed.say("fuse", f"the feed `{feed.name}` has no fuse", "write for example `fuse: F4`")
        return
    device: dict[str, object] = {"on": feed.panel, **feed.kept("system")}
    own: dict[str, object] = {
        "kind": "fuse",
        "name": feed.title,
        "slot": _number_in(fuse),
        "fuse": at(row, "type"),
    }
    own = device | own | feed.kept("bus", "slot", "rating")
    feed.add(feed.all.devices, fuse, own, "fuse")
    feed.all.by_fuse.setdefault(fuse, feed)
    if relay:
        title = word(row, "relay name") or f"{feed.title} relay"
        own = {"kind": RELAY_KIND, "name": title, "slot": _number_in(relay)}
        feed.add(feed.all.devices, relay, device | own | feed.kept("critical"), "relay")
    elif at(row, "85") or at(row, "86"):
        feed.say("85", f"the feed `{feed.name}` has a coil but no relay", "write `relay: K1`")


def _make_circuits(feed: Feed) -> None:
    """From bus to ground: the jumper to the relay, the load's two sides, then the coil's."""
    row = feed.row
    fuse, relay = word(row, "fuse"), word(row, "relay")
    if not fuse:
        return
    if relay:
        names = [str(node.value) for node in one_or_more(at(row, "86"))]
        coil = [f"{relay}.86"] if names == ["30"] else []
        harness = feed.all.jumper_harness(feed.panel) or None
        _circuit(feed, "relay feed", [f"{fuse}.out", f"{relay}.30", *coil], {"harness": harness})
    source = f"{relay}.87" if relay else f"{fuse}.out"
    loads = one_or_more(at(row, "to"))
    if loads or word(row, "status") in ("future", "spare"):
        fed = [_pin(feed, load, FED) for load in loads]
        _circuit(feed, "feed", [source, *fed], feed.kept(*OF_CIRCUIT), word(row, "circuit"))
    if ground := at(row, "ground"):
        returned = [_pin(feed, load, RETURNED) for load in loads]
        alone = len(loads) == 1 and "*" not in str(loads[0].value)
        joined = [*returned, ground] if alone else [ground, *returned]
        _circuit(feed, "ground", joined, feed.kept(*OF_RETURN))
    if relay:
        _join_coil(feed, relay)


def _circuit(
    feed: Feed, sort: str, joined: Sequence[object], more: dict[str, object], name: str = ""
) -> None:
    """Add a circuit that the load's current flows through."""
    own: dict[str, object] = {"join": list(joined), **feed.kept("system", "critical"), **more}
    key = {"relay feed": "relay", "feed": "circuit"}.get(sort, sort)
    called = feed.name if feed.name.endswith(f" {sort}") else f"{feed.name} {sort}"
    feed.add(feed.all.circuits, name or called, own, key)


def _join_coil(feed: Feed, relay: str) -> None:
    """What pulls the coil in: at 86 its plus, at 85 its minus."""
    for end in ("86", "85"):
        said, pin = one_or_more(at(feed.row, end)), f"{relay}.{end}"
        names = [str(node.value) for node in said]
        kinds = {word(feed.all.devices.get(name), "kind") for name in names}
        if kinds == {"fuse"} and len(names) == 1:
            place = feed.row.keys[end]
            feed.all.coils.append((feed, names[0], Node(pin, place, {}, feed.by)))
        elif said and names != ["30"]:
            sort = "relay ground" if kinds == {"ground"} else "signal" if end == "86" else ""
            joined: list[object] = [*said, pin] if end == "86" else [pin, *said]
            name = f"{feed.name} {sort or 'relay control'}"
            feed.add(feed.all.circuits, name, {"join": joined, **feed.kept("system")}, end)
            if kinds != {"ground"}:
                feed.all.controls.append((feed, name))


def _share(feed: Feed, name: str, waiting: Sequence[str]) -> None:
    """One circuit for what switches several coils: a pin takes one wire, and the splice is ours.

    Those that are `waiting` have their own turn; what the author wrote of a circuit stays.
    """
    circuits, devices = feed.all.circuits, feed.all.devices
    own = listed(at(circuits[name], "join"))
    if circuits[name].added != feed.by:
        return
    for other, circuit in circuits.items():
        if other in (name, *waiting) or other not in feed.all.made:
            continue
        joined = [str(item.value) for item in listed(at(circuit, "join"))]
        shared = [pin for pin in joined if pin in (str(item.value) for item in own)]
        shared = [p for p in shared if word(devices.get(p.partition(".")[0]), "kind") not in STUDS]
        if shared:
            new = [item for item in own if str(item.value) not in joined]
            circuits[other] = _with_coils(circuit, shared[0], new)
            del circuits[name]
            return


def _hang_on(feed: Feed, fuse: str, pin: Node) -> None:
    """Join a relay's coil to what another fuse feeds, next to that fuse; it may feed only that."""
    source = f"{fuse}.out"
    for name, circuit in feed.all.circuits.items():
        if source in (str(item.value) for item in listed(at(circuit, "join"))):
            feed.all.circuits[name] = _with_coils(circuit, source, [pin])
            return
    if other := feed.all.by_fuse.get(fuse):
        called = word(other.row, "circuit")
        _circuit(other, "feed", [source, pin], other.kept(*OF_CIRCUIT), called)
        return
    what = f"`{fuse}` feeds nothing that the coil could hang on"
    feed.say("86", what, f"give `{fuse}` a feed, or join `{source}` in a circuit")


def _with_coils(circuit: Node, after: str, pins: Sequence[Node]) -> Node:
    """A circuit that joins more pins, next to one of its own and the coils that are there."""
    join = entries(circuit)["join"]
    joined = [str(item.value) for item in listed(join)]
    place = joined.index(after) + 1
    while place < len(joined) and joined[place].endswith(COIL_ENDS):
        place += 1
    items = [*listed(join)[:place], *pins, *listed(join)[place:]]
    inside = {**entries(circuit), "join": Node(items, join.where, {}, join.added)}
    return mapping(inside, circuit)


def _number_in(name: str) -> object:
    """The slot that a name such as F4 stands for."""
    found = re.search(r"\d+$", name)
    return scalar(found[0]) if found else None


def _pin(feed: Feed, load: Node, mark: str) -> Node:
    """Where a load is fed or returned: as it says, else at the pin of a device for that."""
    name = str(load.value)
    device = name
    while device not in feed.all.devices and "." in device:
        device = device.rpartition(".")[0]
    device = name.partition(".")[0] if "*" in name else device
    if name == device or mark == RETURNED:
        return Node(f"{device}.{mark}", load.where, {}, feed.by)
    return load


def _made(value: object, where: Where, by: str) -> Node:
    """As a tree at one place; what the author wrote keeps the place where it was written."""
    if isinstance(value, Node):
        return Node(value.value, value.where, value.keys, by)
    if isinstance(value, dict):
        inside = {key: _made(child, where, by) for key, child in value.items()}
        return Node(inside, where, {key: node.where for key, node in inside.items()}, by)
    if isinstance(value, list):
        return Node([_made(child, where, by) for child in value], where, {}, by)
    return Node(value, where, {}, by)
