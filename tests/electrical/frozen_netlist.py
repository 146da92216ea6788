"""One settled state as a netlist with every contact and source as it came to rest."""

from __future__ import annotations

import math

from buildbook.electrical.elimination import LEAK_OHMS
from buildbook.electrical.model import Branch, Solution


def netlist(solution: Solution) -> str:
    """SPICE text with an operating-point analysis that prints every node voltage.

    Nodes are n1, n2, … with their names in comments; node 0 is the battery's negative.
    """
    numbers = node_numbers(solution)
    lines = [f"* operating point of the state {_plain(solution.state)}"]
    lines += [f"* {number} = {_plain(name)}" for name, number in numbers.items()]
    for place, branch in enumerate(solution.branches.values(), start=1):
        lines += _cards(branch, place, numbers, solution.current_a[branch.id])
    lines += [
        f"Rleak{number} {number} 0 {LEAK_OHMS:g}" for number in numbers.values() if number != "0"
    ]
    lines += [".control", "set numdgt=12", "op"]
    lines += [f"print v({number})" for number in numbers.values() if number != "0"]
    return "\n".join([*lines, "quit", ".endc", ".op", ".end", ""])


def node_numbers(solution: Solution) -> dict[str, str]:
    """Node name -> its name in the netlist."""
    battery = solution.branches.get("battery")
    zero = battery.b if battery else next((n for n, v in solution.volts.items() if v == 0), "")
    others = (name for name in solution.volts if name != zero)
    return {zero: "0"} | {name: f"n{i}" for i, name in enumerate(others, start=1)}


def _cards(branch: Branch, place: int, numbers: dict[str, str], current_a: float) -> list[str]:
    a, b = numbers[branch.a], numbers[branch.b]
    about = f"* {_plain(branch.id)}"
    if math.isinf(branch.ohms):
        return [about, f"I{place} {a} {b} {current_a:.12g}"]
    if branch.volts:
        middle = f"m{place}"
        volts = f"V{place} {middle} {b} {branch.volts:.12g}"
        return [about, volts, f"R{place} {a} {middle} {branch.ohms:.12g}"]
    return [about, f"R{place} {a} {b} {branch.ohms:.12g}"]


def _plain(text: str) -> str:
    """Text fit for a comment: one line, ASCII, nothing that could start a card or command."""
    return "".join(c if c.isascii() and c.isprintable() else "_" for c in text)
