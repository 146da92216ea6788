"""One operating state as a netlist for any general-purpose circuit simulator, where it settles."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from buildbook.electrical.elimination import LEAK_OHMS
from buildbook.electrical.laws.filament import CURRENT_EXPONENT, Filament
from buildbook.electrical.laws.motor import Motor
from buildbook.electrical.laws.of_load import Law
from buildbook.electrical.model import Branch
from buildbook.electrical.network import REVERSE_A, Element, Network
from buildbook.electrical.sources import Source

OPEN_OHMS = 1e12
TIGHT_V = 1e-6
"""Between pull-in and release of a contact that has but one limit."""
OPTIONS = "gmin=1e-15 abstol=1e-9 vntol=1e-7 reltol=1e-5 itl1=500 itl4=100 cshunt=1e-13"


def netlist(network: Network, state: str, standing: Mapping[str, Branch]) -> str:
    """SPICE text with an operating-point analysis that prints every node voltage.

    Contacts are switches with their hysteresis, sources and loads with laws behavioural currents:
    nothing in it is an answer but the resistance that stands for a pulsed branch, which is as in
    `standing` (the branches of a solution), with its ohms while on and its duty in a comment.
    Nodes are n1, n2, … with their names in comments; node 0 is what volts are told against.
    """
    deck = _Deck(network)
    duty = {e.branch.id: e.duty for e in network.elements}
    for element in network.elements:
        if state in element.states:
            _add_element(deck, element, standing, duty.get(element.pulsed_by, 1.0))
    for source in network.sources:
        _add_source(deck, source, state)
    deck.cards += _nodesets(network, state, deck.numbers)
    names = [f"* {number} = {_plain(name)}" for name, number in deck.numbers.items()]
    leaks = [f"Rleak{n} {n} 0 {LEAK_OHMS:g}" for n in deck.numbers.values() if n != "0"]
    prints = [f"print v({n})" for n in deck.numbers.values() if n != "0"]
    head = [f"* operating point of the state {_plain(state)}", *names]
    body = [*deck.cards, *leaks, f".options {OPTIONS}"]
    tail = [".control", "set numdgt=12", "op", *prints, "quit", ".endc", ".op", ".end", ""]
    return "\n".join([*head, *body, *tail])


def numbers_of(network: Network) -> dict[str, str]:
    """Node name -> its name in the netlist."""
    names = {name: f"n{i}" for i, name in enumerate(network.nodes, start=1)}
    return {network.reference: "0"} | names


@dataclass
class _Deck:
    network: Network
    cards: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.numbers = numbers_of(self.network)

    def volts(self, a: str, b: str) -> str:
        return f"(V({self.numbers[a]})-V({self.numbers[b]}))"

    def card(self, letter: str, text: str) -> str:
        name = f"{letter}{len(self.cards)}"
        self.cards.append(f"{name} {text}")
        return name

    def say(self, text: str) -> None:
        self.cards.append(f"* {_plain(text)}")

    def flow(self, a: str, b: str, expression: str) -> None:
        self.card("B", f"{self.numbers[a]} {self.numbers[b]} I={expression}")


def _add_element(
    deck: _Deck, element: Element, standing: Mapping[str, Branch], share: float
) -> None:
    branch = element.branch
    ohms = branch.ohms
    deck.say(branch.id)
    if element.duty < 1:
        stood = standing.get(branch.id)
        ohms = stood.ohms if stood else ohms / element.duty
        deck.say(
            f"stands for {branch.ohms:.6g} ohm that conducts for {element.duty:.4g} of the time"
        )
    elif element.law is not None:
        deck.flow(branch.a, branch.b, _current(deck, element.law, branch, share))
        return
    a = deck.numbers[branch.a]
    if element.control is not None:
        inner = f"s{len(deck.cards)}"
        _add_switch(deck, element, inner, ohms)
        a, ohms = inner, 0.0
    if branch.volts:
        middle = f"m{len(deck.cards)}" if ohms else a
        deck.card("V", f"{middle} {deck.numbers[branch.b]} {branch.volts:.9g}")
        if ohms:
            deck.card("R", f"{a} {middle} {ohms:.9g}")
    elif ohms:
        deck.card("R", f"{a} {deck.numbers[branch.b]} {ohms:.9g}")
    else:
        deck.card("V", f"{a} {deck.numbers[branch.b]} 0")


def _add_switch(deck: _Deck, element: Element, inner: str, ohms: float) -> None:
    """A switch from the branch's first node to `inner`, with its resistance."""
    assert element.control is not None
    branch, across = element.branch, deck.volts(*element.control)
    on_v = element.control_v
    off_v = on_v - TIGHT_V if element.holds_v is None else element.holds_v
    asked = f"abs({across})" if element.either_way else across
    if element.one_way:
        back = f"({deck.volts(branch.b, branch.a)}/{ohms:.9g}-{REVERSE_A:.9g})"
        asked, off_v = f"{asked}-1e3*u({back})", on_v - 500
    hold, model = f"c{len(deck.cards)}", f"sw{len(deck.cards)}"
    deck.card("B", f"{hold} 0 V={asked}")
    closed, opened = (OPEN_OHMS, ohms) if element.inverted else (ohms, OPEN_OHMS)
    deck.card("S", f"{deck.numbers[branch.a]} {inner} {hold} 0 {model} off")
    middle, half = (on_v + off_v) / 2, (on_v - off_v) / 2
    deck.cards.append(
        f".model {model} sw vt={middle:.9g} vh={half:.9g} ron={closed:.9g} roff={opened:.9g}"
    )


def _current(deck: _Deck, law: Law, branch: Branch, share: float) -> str:
    """Mean current of a load with a law: that of its volts while on, for their share of time."""
    across = f"({deck.volts(branch.a, branch.b)}/{share:.9g})"
    size = f"abs({across})"
    if isinstance(law, Filament):
        hot = f"{law.rated_a:.9g}*({size}/{law.rated_v:.9g}+1e-15)^{CURRENT_EXPONENT}"
        taken = f"sgn({across})*min({size}/{law.cold_ohm:.9g},{hot})"
    elif isinstance(law, Motor):
        free = f"max({size}-{law.steady * law.rated_a * law.ohms:.9g},0)"
        square = 4 * (1 - law.steady) * law.rated_a * law.ohms
        root = f"sqrt({law.back_v**2:.12g}+{square:.12g}*{free})"
        speed = f"(2*{free}/({law.back_v:.12g}+{root}))"
        running = f"{law.rated_a:.9g}*({law.steady:g}+{1 - law.steady:g}*{speed}^2)"
        taken = f"sgn({across})*min({running},{size}/{law.ohms:.9g})"
    else:
        taken = f"{law.amps:.9g}*min(max({across}/{law.needs_v:.9g},0),1)"
    return f"{share:.9g}*{taken}" if share < 1 else taken


def _add_source(deck: _Deck, source: Source, state: str) -> None:
    """What it gives as a current out of its plus; a converter takes what that costs it."""
    deck.say(source.id)
    across, emf = deck.volts(source.plus, source.minus), source.emf_v[state]
    over = f"({across}-{emf:.12g})"
    back = source.back_ohms[state]
    given = f"max(-{over},0)/{source.ohms[state]:.12g}"
    if not math.isinf(limit := source.limit_a[state]):
        given = f"min({given},{limit:.9g})"
    expression = given if math.isinf(back) else f"({given}-max({over},0)/{back:.12g})"
    if source.fed_by is not None:
        fed = deck.volts(*source.fed_by)
        expression = f"({fed}<{source.works_from_v:.9g} ? 0 : {expression})"
        cost = f"max({expression}*{across},0)/({source.efficiency:.9g}*max({fed},1e-3))"
        deck.flow(*source.fed_by, cost)
    deck.flow(source.minus, source.plus, expression)


def _nodesets(network: Network, state: str, numbers: Mapping[str, str]) -> list[str]:
    """Where generators begin: at what they hold, else Newton's steps overshoot it from below."""
    positive = any(s.kind == "battery" and s.plus == network.reference for s in network.sources)
    return [
        f".nodeset v({numbers[live]})={volts:.6g}"
        for source in network.sources
        if source.kind != "battery" and source.limit_a[state] > 0
        for live, volts in (
            (source.minus, -source.emf_v[state])
            if positive
            else (source.plus, source.emf_v[state]),
        )
    ]


def _plain(text: str) -> str:
    """Text fit for a comment: one line, ASCII, nothing that could start a card or command."""
    return "".join(c if c.isascii() and c.isprintable() else "_" for c in text)
