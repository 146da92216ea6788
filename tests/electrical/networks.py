"""Small networks drawn by hand, for tests with answers from Ohm's law."""

import math

import numpy as np

from buildbook.electrical.model import Branch
from buildbook.electrical.network import Element, Network
from buildbook.electrical.sources import Source

STATE = "on"


def element(branch, kind, a, b, ohms, volts=0.0, **more):
    return Element(Branch(branch, kind, branch, a, b, ohms, volts), frozenset([STATE]), **more)


def network(*elements, emf_v=12.0, ohms=0.01, **supply):
    """A battery between 'plus' and 'zero' and whatever else is given."""
    always = {STATE: emf_v}
    back = {STATE: supply.pop("charge_ohms", ohms)}
    endless = {STATE: math.inf}
    held = [Source("battery", "battery", "plus", "zero", always, {STATE: ohms}, back, endless)]
    if supply:
        held.append(
            Source(
                "alternator",
                "alternator",
                supply["alternator_plus"],
                supply["alternator_minus"],
                {STATE: supply["regulated_v"]},
                {STATE: supply.get("alternator_ohms", 0.01)},
                endless,
                supply["limit_a"],
            )
        )
    names = dict.fromkeys(n for e in elements for n in (e.branch.a, e.branch.b))
    names["plus"] = None
    names.pop("zero", None)
    return Network(tuple(elements), tuple(names), "zero", tuple(held), (STATE,))


def by_chance(chance: np.random.Generator, most_nodes: int, cases: int):
    """Nodes, the ends of branches (-1 for the reference) and siemens, of which a fifth are 0."""
    nodes = int(chance.integers(2, most_nodes))
    ends = [(int(chance.integers(-1, at)), at) for at in range(1, nodes)]
    ends += [tuple(int(x) for x in chance.integers(-1, nodes, 2)) for _ in range(nodes // 2)]
    shape = len(ends), cases
    return nodes, ends, 10 ** chance.uniform(-7, 3, shape) * (chance.random(shape) > 0.2)
