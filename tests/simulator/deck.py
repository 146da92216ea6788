"""A deck for the circuit simulator, card by card, with the models that devices are made of."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from tests.simulator import sheets

OPEN_OHM = 1e12
OPTIONS = {
    "gmin": "1e-15",
    "abstol": "1e-10",
    "vntol": "1e-7",
    "reltol": "1e-4",
    "itl1": "500",
    "itl4": "100",
    "cshunt": "1e-9",
    "method": "gear",
}
"""Errors far below what is asked for, and a nanofarad at every node for edges to work against."""


@dataclass
class Deck:
    """Cards so far; nodes are named in the vehicle's words and numbered in the simulator's."""

    ground: str
    cards: list[str] = field(default_factory=list)
    numbers: dict[str, str] = field(default_factory=dict)
    periods_s: list[float] = field(default_factory=list)
    """Of everything that pulses."""
    swings: dict[float, str] = field(default_factory=dict)
    """What sensors go to and fro by, at each frequency."""
    layers: list[str] = field(default_factory=list)
    """Cards that only matter while something pulses."""
    sensor_ohm: float = sheets.SENSOR_OHM
    """At least this lies behind every sensor's output voltage."""

    def node(self, name: str) -> str:
        if name == self.ground:
            return "0"
        return self.numbers.setdefault(name, f"n{len(self.numbers) + 1}")

    def hidden(self) -> str:
        """A node inside a model, which nobody reads."""
        return f"h{len(self.cards)}"

    def resistor(self, a: str, b: str, ohms: float) -> None:
        self._resistor(self.node(a), self.node(b), ohms)

    def _resistor(self, a: str, b: str, ohms: float) -> None:
        self.cards.append(f"R{len(self.cards)} {a} {b} {max(ohms, 1e-6):.9g}")

    def source(self, plus: str, minus: str, volts: float, ohms: float) -> None:
        """Volts behind a resistance."""
        inner = self.hidden()
        self.cards.append(f"V{len(self.cards)} {inner} {self.node(minus)} {volts:.9g}")
        self._resistor(inner, self.node(plus), ohms)

    def flow(self, a: str, b: str, expression: str) -> None:
        """A current from a to b that an expression of volts gives, A."""
        card = f"B{len(self.cards)} {self.node(a)} {self.node(b)} I={expression}"
        self.cards.append(card)

    def volts(self, a: str, b: str) -> str:
        """Volts from a to b, for an expression."""
        return f"(V({self.node(a)})-V({self.node(b)}))"

    def switch(
        self,
        ends: tuple[str, str],
        control: tuple[str, str],
        on_v: float,
        off_v: float,
        ohms: float,
        rest: Literal["open", "closed"] = "open",
        either_way: bool = False,
    ) -> None:
        """Changes over at `on_v` and back at `off_v`; at rest open, or closed (a break contact)."""
        across = self.volts(*control)
        self.switch_by(ends, f"abs({across})" if either_way else across, on_v, off_v, ohms, rest)

    def switch_by(
        self,
        ends: tuple[str, str],
        asked: str,
        on_v: float,
        off_v: float,
        ohms: float,
        rest: Literal["open", "closed"] = "open",
    ) -> None:
        """The same by what an expression comes to."""
        hold = self.hidden()
        self.cards.append(f"B{len(self.cards)} {hold} 0 V={asked}")
        model = f"sw{len(self.cards)}"
        on, off = (ohms, OPEN_OHM) if rest == "open" else (OPEN_OHM, ohms)
        middle, half = (on_v + off_v) / 2, (on_v - off_v) / 2
        a, b = (self.node(end) for end in ends)
        self.cards += [
            f"S{len(self.cards)} {a} {b} {hold} 0 {model} off",
            f".model {model} sw vt={middle:.9g} vh={half:.9g} ron={on:g} roff={off:g}",
        ]

    def pulsed(self, a: str, b: str, ohms: float, duty: float, hertz: float, late: float) -> None:
        """Conducts for a share of each period; `late` shifts it by a share of one.

        Its siemens rise and fall in a five thousandth of a period, through which it counts as on.
        """
        hold = self._pulse(duty, hertz, late)
        self.flow(a, b, f"{self.volts(a, b)}*V({hold})/{ohms:g}")

    def push_pull(
        self, out: str, rails: tuple[str, str], ohms: float, duty: float, hertz: float, late: float
    ) -> None:
        """On the first rail for a share of each period, and on the second for the rest of it."""
        hold = self._pulse(duty, hertz, late)
        for rail, share in zip(rails, (f"V({hold})", f"(1-V({hold}))"), strict=True):
            self.flow(out, rail, f"{self.volts(out, rail)}*{share}/{ohms:g}")

    def _pulse(self, duty: float, hertz: float, late: float) -> str:
        """A node that stands at one volt for a share of each period, else at none."""
        hold, period = self.hidden(), 1 / hertz
        self.periods_s.append(period)
        edge = period / 5000
        times = (late * period, edge, edge, duty * period - 2 * edge, period)
        wave = "0 1 " + " ".join(f"{time:.9g}" for time in times)
        self.cards.append(f"V{len(self.cards)} {hold} 0 pulse({wave})")
        return hold

    def to_and_fro(self, hertz: float) -> str:
        """Volts, for an expression, that are one for half of the time and none for the other."""
        if hertz not in self.swings:
            self.swings[hertz] = f"V({self._pulse(0.5, hertz, 0.25)})"
        return self.swings[hertz]

    def filament(self, a: str, b: str, volts: float, amps: float, cold_ohm: float | None) -> None:
        """The handbook's power law, and the cold resistance below it."""
        cold = cold_ohm or sheets.COLD_SHARE * volts / amps
        size = f"abs({self.volts(a, b)})"
        hot = f"{amps:.9g}*({size}/{volts:.9g}+1e-12)^{sheets.CURRENT_EXPONENT}"
        self.flow(a, b, f"sgn({self.volts(a, b)})*min({size}/{cold:.9g},{hot})")

    def motor(
        self, a: str, b: str, volts: float, amps: float, stall_a: float | None, turns: str | None
    ) -> None:
        """Its speed is a node of its own: it rises until the load's torque takes the current.

        A unit of inertia makes a transient settle; at an operating point it plays no part. Speed
        and torque are in shares of the rated ones.
        """
        ohms = volts / (stall_a or sheets.START_TIMES * amps)
        back_v, steady = volts - amps * ohms, sheets.STEADY_TORQUE[turns]
        speed = self.hidden()
        current = f"({self.volts(a, b)}-{back_v:.9g}*V({speed}))/{ohms:.9g}"
        load = f"{1 - steady:g}*V({speed})*abs(V({speed}))+{steady:g}*tanh(V({speed})*1e3)"
        self.flow(a, b, current)
        self.cards += [
            f"B{len(self.cards)} 0 {speed} I={current}/{amps:.9g}-({load})",
            f"R{len(self.cards)} {speed} 0 1e9",
            f"C{len(self.cards)} {speed} 0 1m",
        ]

    def transmitter(self, a: str, b: str, amps: float, needs_v: float) -> None:
        """A current of its own while it has the volts that its sheet asks for."""
        self.flow(a, b, f"{amps:.9g}*min(max({self.volts(a, b)}/{needs_v:.9g},0),1)")

    def limited(
        self, plus: str, minus: str, volts: float, ohms: float, limit_a: float, sense: str = ""
    ) -> None:
        """A regulator that holds its own output, or the volts at `sense`, up to a limit.

        Its diodes let nothing back.
        """
        wanted = f"({volts:.9g}-{self.volts(sense or plus, minus)})/{ohms:.9g}"
        self.flow(minus, plus, f"min(max({wanted},0),{limit_a:.9g})")
        self.cards.append(f".nodeset v({self.node(plus)})={volts:.9g}")

    def battery(self, plus: str, minus: str, volts: float, ohms: float, charge_ohms: float) -> None:
        """Gives behind its own ohms; charged, it takes less for the same volts above rest.

        Its plates' double layer is a capacitor that carries pulses at its own ohms either way, and
        so do a generator's volts follow none of them (their field takes tenths of a second).
        """
        over = f"({self.volts(plus, minus)}-{volts:.9g})"
        self.flow(plus, minus, f"{over}<0 ? {over}/{ohms:.9g} : {over}/{charge_ohms:.9g}")
        layer, a, b = self.hidden(), self.node(plus), self.node(minus)
        self.layers.append(f"Rl{len(self.cards)} {a} {layer} {ohms:.9g}")
        self.layers.append(f"Cl{len(self.cards)} {layer} {b} {sheets.LAYER_F:g}")

    def text(self, title: str, analysis: list[str]) -> str:
        leaks = [f"Rleak{n} {n} 0 {sheets.LEAK_OHM:g}" for n in self.numbers.values()]
        layers = self.layers if self.periods_s else []
        options = f".options {' '.join(f'{key}={value}' for key, value in OPTIONS.items())}"
        return "\n".join(
            [
                f"* {title}",
                *self.cards,
                *layers,
                *leaks,
                options,
                ".control",
                *analysis,
                "quit",
                ".endc",
            ]
            + [".end", ""]
        )
