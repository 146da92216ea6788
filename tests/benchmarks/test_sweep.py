"""Times the sweep of the example (every fault, every state) against the circuit simulator.

    python -m pytest -n 0 -s tests/benchmarks/test_sweep.py

Run by name only. Both are timed in the one run, on the same operating points: the sweep does
all of them; the simulator does a random sample, every kind of fault in its turn, and its time
is multiplied by the number of points. It is run in three ways:

- afresh for each operating point, with a netlist of everything as it came to rest, which prints the
  volts of every node;
- the same, but nothing is printed: what is worked out is thrown away;
- the kindest way: one process reads the network once, alters what the next fault and state
  alter, and works out the operating point; reading is not counted, and nothing is printed.

The criterion, a hundredth, is held for the first, of which something is to be had; how near
the others come is printed.

In all it is told the position of every relay, the battery's and the alternator's mode and the
blown fuses, which the sweep has to find. Processor seconds are compared, so that a busy machine
favours neither. That the volts agree is held by `test_two_hundred_faults.py`; here they are
held for the kind way.
"""

from __future__ import annotations

import math
import re
import resource
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

from buildbook.electrical.elimination import LEAK_OHMS
from buildbook.electrical.model import Branch
from buildbook.faultfinding.sweep import sweep
from tests.electrical.frozen_netlist import netlist, node_numbers
from tests.faultfinding.simulated import WITHIN_V, Broken, Point, broken, some_points

AFRESH, KINDLY = 40, 400
"""Points that the simulator works out in each way."""
TURNED_OFF_OHM = 1e15
"""What does not conduct in a point: a millionth of what leaks from a node anyway."""


def children_s() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def simulate(path: Path, text: str) -> tuple[float, str]:
    """Processor seconds of one run of the simulator, and what it printed."""
    path.write_text(text)
    begin = children_s()
    ran = subprocess.run(
        ["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=1200, check=False
    )
    return children_s() - begin, ran.stdout


@dataclass(frozen=True)
class Session:
    """A netlist with every branch of the car, and the commands that turn it into a point."""

    cards: list[str]
    off: dict[str, str]
    numbers: dict[str, str]

    @classmethod
    def of(cls, car: Broken, points: list[Point]) -> Session:
        """Branches that do not conduct have next to no conductance."""
        numbers = node_numbers(points[0].solution)
        branches = {e.branch.id: e.branch for e in car.network.elements}
        supply = {b.id: b for p in points for b in p.solution.branches.values()}
        branches |= {name: supply[name] for name in ("battery", "alternator") if name in supply}
        cards, off = [], {}
        for place, branch in enumerate(branches.values()):
            cards += _cards(branch, place, numbers)
            off[branch.id] = f"r{place}"
        leaks = [f"Rleak{n} {n} 0 {LEAK_OHMS:g}" for n in numbers.values() if n != "0"]
        return cls([*cards, *leaks], off, numbers)

    def values(self, point: Point) -> dict[str, float]:
        """Name in the netlist -> ohms, volts or amps in this point."""
        found = dict.fromkeys(self.off.values(), TURNED_OFF_OHM)
        for branch in point.solution.branches.values():
            name = self.off[branch.id]
            if math.isinf(branch.ohms):
                found[f"i{name[1:]}"] = point.solution.current_a[branch.id]
                continue
            found[name] = branch.ohms
            if branch.id == "alternator":
                found[f"i{name[1:]}"] = 0.0
        return found

    def text(self, points: list[Point], printed: bool) -> str:
        lines = ["* one session", *self.cards, ".control", "set numdgt=12"]
        now: dict[str, float] = {}
        for point in points:
            wanted = self.values(point)
            lines += [
                f"alter {name} = {value:.12g}"
                for name, value in wanted.items()
                if now.get(name) != value
            ]
            now |= wanted
            lines.append("op")
            if printed:
                lines += [f"print v({n})" for n in self.numbers.values() if n != "0"]
            lines.append("destroy all")
        return "\n".join([*lines, "quit", ".endc", ".end", ""])


def _cards(branch: Branch, place: int, numbers: dict[str, str]) -> list[str]:
    a, b = numbers[branch.a], numbers[branch.b]
    cards = [f"R{place} {a} {b} {TURNED_OFF_OHM:g}"]
    if branch.volts:
        cards = [
            f"V{place} m{place} {b} {branch.volts:.12g}",
            f"R{place} {a} m{place} {TURNED_OFF_OHM:g}",
        ]
    if branch.id == "alternator":
        cards.append(f"I{place} {a} {b} 0")
    return cards


def silent(text: str) -> str:
    """A netlist that works out its point and prints nothing."""
    return "\n".join(line for line in text.splitlines() if not line.startswith("print "))


def test_the_sweep_takes_less_than_a_hundredth_of_the_simulator(lapwing, tmp_path):
    begin = time.process_time()
    swept = sweep(lapwing.vehicle, lapwing.harness, lapwing.sizing, lapwing.solved)
    ours_s = time.process_time() - begin
    count = len(swept.faults) * len(swept.faulted)
    car = broken(lapwing)
    points = list(some_points(car, KINDLY))

    path = tmp_path / "point.cir"
    texts = [netlist(point.solution) for point in points[:AFRESH]]
    afresh_s = sum(simulate(path, text)[0] for text in texts) / AFRESH
    silent_s = sum(simulate(path, silent(text))[0] for text in texts) / AFRESH
    session = Session.of(car, points)
    read_s, _ = simulate(path, session.text(points[:1], printed=False))
    all_s, _ = simulate(path, session.text(points, printed=False))
    kindly_s = (all_s - read_s) / (KINDLY - 1)
    _, said = simulate(path, session.text(points[:AFRESH], printed=True))

    print(f"\n{count} operating points, processor time")
    print(f"  sweep                       {ours_s:8.2f} s, {1e3 * ours_s / count:.3f} ms each")
    ways = (
        ("afresh", afresh_s, AFRESH),
        ("afresh, silent", silent_s, AFRESH),
        ("one session", kindly_s, KINDLY),
    )
    for way, each_s, of in ways:
        print(
            f"  simulator, {way:16} {each_s * count:8.0f} s, {1e3 * each_s:.3f} ms each"
            f" (from {of}): the sweep takes 1/{each_s * count / ours_s:.0f}"
        )
    off = worst_off(session, points[:AFRESH], said)
    print(f"  worst difference of volts in the session: {off:.1e} V")
    assert off < WITHIN_V
    assert ours_s < afresh_s * count / 100


def worst_off(session: Session, points: list[Point], said: str) -> float:
    """The most by which a node of the session is off the sweep's, V."""
    found = re.findall(r"^v\((\w+)\) = (\S+)$", said, re.MULTILINE)
    nodes = [name for name, number in session.numbers.items() if number != "0"]
    assert len(found) == len(points) * len(nodes), said[-2000:]
    volts = iter(float(volts) for _, volts in found)
    simulated = [dict(zip(nodes, volts, strict=False)) for _ in points]
    return max(
        abs(point.swept[node] - at[node])
        for point, at in zip(points, simulated, strict=True)
        for node in point.swept
        if node in at
    )
