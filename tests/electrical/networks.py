"""Small networks drawn by hand, for tests with answers from Ohm's law."""

from buildbook.electrical.model import Branch
from buildbook.electrical.network import Element, Network, Supply

STATE = "on"


def element(branch, kind, a, b, ohms, volts=0.0, **more):
    return Element(Branch(branch, kind, branch, a, b, ohms, volts), frozenset([STATE]), **more)


def network(*elements, emf_v=12.0, ohms=0.01, **supply):
    """A battery between 'plus' and 'zero' and whatever else is given."""
    held = Supply("plus", "zero", emf_v, ohms, supply.pop("charge_ohms", ohms), **supply)
    names = dict.fromkeys(n for e in elements for n in (e.branch.a, e.branch.b))
    names["plus"] = None
    names.pop("zero", None)
    return Network(tuple(elements), tuple(names), "zero", held, (STATE,))
