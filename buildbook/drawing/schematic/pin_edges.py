"""Which edge of its device each pin is drawn on, and which end of each wire is above."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

import networkx

from buildbook.drawing.schematic.device_elements import parted, top_pins
from buildbook.drawing.schematic.element import BLOCKS, InnerSymbol, is_block
from buildbook.harness.model import End, Wire
from buildbook.vehicle.model import Device, Vehicle


def node_of(end: End) -> str:
    """Kind and name of what a wire ends on; both halves of a pass-through contact are one."""
    return "half " + end.node.rsplit("/", 1)[0] if end.kind == "half" else f"{end.kind} {end.node}"


class PinEdges:
    """The edges of one sheet's devices, so that as much as can be flows downwards.

    `inside` are the parts of every device, switches turned over where that helps; `top` the
    pins on upper edges; `upper` for every wire the node of its upper end.
    """

    def __init__(
        self, vehicle: Vehicle, wires: Sequence[Wire], inside: Mapping[str, list[InnerSymbol]]
    ) -> None:
        self.vehicle, self.wires, self.inside = vehicle, wires, dict(inside)
        self.circuits: dict[str, list[str]] = defaultdict(list)
        """Circuit -> its pins, in the order of its wires."""
        for wire in wires:
            pins = [end.node for end in (wire.a, wire.b) if end.kind == "pin"]
            mine = self.circuits[wire.circuit]
            mine += [pin for pin in pins if pin not in mine]
        self.top = {
            pin
            for id_, parts in self.inside.items()
            for pin in top_pins(vehicle.devices[id_], parts)
        }
        self._turn_switches()
        self.top |= self._fed_by_fuses()
        self.top -= self._bridged()
        self.top |= self._turned()
        self.upper = self._orient()

    def _device(self, pin: str) -> Device:
        return self.vehicle.devices[self.vehicle.pins[pin].device]

    def _is_top(self, pin: str) -> bool:
        return self._device(pin).kind in ("ground", "panel") or pin in self.top

    def _is_block_pin(self, pin: str) -> bool:
        return self._device(pin).kind in BLOCKS

    def _is_free(self, pin: str) -> bool:
        """True for a pin that may be on either edge."""
        device = self._device(pin)
        if device.kind == "sensor" and is_block(device):
            return False
        inner = {p for part in self.inside[device.id] for p in (part.top, part.bottom)}
        return device.kind not in ("ground", "panel") and pin not in self.top and pin not in inner

    def _turn_switches(self) -> None:
        """Turns contacts upside down where fewer circuits then have to turn back."""
        for id_, inside in self.inside.items():
            for part in parted(inside) if self.vehicle.devices[id_].kind == "switch" else ():
                pins = {pin for one in part for pin in (one.top, one.bottom)}
                met = [circuit for circuit in self.circuits.values() if pins & set(circuit)]
                before = sum(self._turns_back(circuit) for circuit in met)
                self.top ^= pins
                if sum(self._turns_back(circuit) for circuit in met) < before:
                    self.inside[id_] = [
                        _turned_over(one) if one in part else one for one in self.inside[id_]
                    ]
                else:
                    self.top ^= pins

    def _turns_back(self, pins: list[str]) -> bool:
        """True for a circuit whose pins are all on upper edges or all on lower ones."""
        placed = [pin for pin in pins if self._is_block_pin(pin) or not self._is_free(pin)]
        return len(placed) > 1 and len({self._is_top(pin) for pin in placed}) == 1

    def _fed_by_fuses(self) -> set[str]:
        """Pins of blocks that a fuse feeds with nothing between."""
        return {
            pin
            for pins in self.circuits.values()
            for pin in pins
            if self._is_block_pin(pin) and any(self._device(other).kind == "fuse" for other in pins)
        }

    def _bridged(self) -> set[str]:
        """Upper pins of a block whose load is fed from a lower pin of the same block."""
        met = {pin: pins for pins in self.circuits.values() for pin in pins}
        found: set[str] = set()
        for part in (one for inside in self.inside.values() for one in inside):
            feeds, returns = (
                {p for p in met.get(pin, ()) if self._is_block_pin(p)}
                for pin in (part.top, part.bottom)
            )
            shared = {self._device(p).id for p in feeds} & {self._device(p).id for p in returns}
            if shared and not feeds & self.top:
                found |= returns & self.top
        return found

    def _turned(self) -> set[str]:
        """Free pins that go on top, to end a path that only has sources."""
        turned: set[str] = set()
        for pins in self.circuits.values():
            free = [pin for pin in pins if self._is_free(pin)]
            fixed = [self._is_top(pin) for pin in pins if not self._is_free(pin)]
            blocks = [pin for pin in free if self._is_block_pin(pin)]
            if fixed and not any(fixed):
                turned |= set(free) - set(blocks)
            elif not fixed and len(free) > 1:
                root = (blocks or free)[0]
                turned |= {
                    pin
                    for pin in free
                    if pin != root
                    and pin not in blocks
                    or self._device(pin).id != self._device(root).id
                }
        return turned

    def _orient(self) -> dict[str, str]:
        """Wire -> node of its upper end, by where its circuit's current comes from."""
        upper: dict[str, str] = {}
        circuits: dict[str, list[Wire]] = defaultdict(list)
        for wire in self.wires:
            circuits[wire.circuit].append(wire)
        for circuit, wires in circuits.items():
            depth, down = self._depths(wires)
            returns = self._returns_to_block(self.circuits[circuit])
            for wire in wires:
                a, b = node_of(wire.a), node_of(wire.b)
                upper[wire.id] = a if (depth[a] <= depth[b]) == down else b
                for end, mine, other in ((wire.a, a, b), (wire.b, b, a)):
                    if end.kind == "pin" and (not returns or other.startswith("splice")):
                        upper[wire.id] = other if self._is_top(end.node) else mine
        return upper

    def _returns_to_block(self, pins: list[str]) -> bool:
        """True where a block and devices meet by lower edges only: a return rises to the block."""
        return any(self._is_block_pin(p) for p in pins) and not any(self._is_top(p) for p in pins)

    def _depths(self, wires: list[Wire]) -> tuple[dict[str, int], bool]:
        """Steps of every node from the circuit's root; True where the root is its source."""
        graph: networkx.Graph[str] = networkx.Graph()
        pins: dict[str, bool] = {}
        for wire in wires:
            graph.add_edge(node_of(wire.a), node_of(wire.b))
            pins |= {node_of(e): self._is_top(e.node) for e in (wire.a, wire.b) if e.kind == "pin"}
        sources = [n for n, top in pins.items() if not top]
        sources.sort(key=lambda n: not self._is_block_pin(n.removeprefix("pin ")))
        sinks = [n for n, top in pins.items() if top]
        down = bool(sources) and not (len(sinks) == 1 and len(sources) > 1)
        depth: dict[str, int] = {}
        for root in [*(sources if down else sinks)[:1], *graph]:
            if root not in depth:
                depth |= networkx.single_source_shortest_path_length(graph, root)
        return depth, down


def _turned_over(part: InnerSymbol) -> InnerSymbol:
    return replace(part, top=part.bottom, bottom=part.top)
