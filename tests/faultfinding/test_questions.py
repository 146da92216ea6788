"""What can be asked, in an order that is the same in every run."""

from __future__ import annotations

import numpy as np

from buildbook.faultfinding.model import Effect
from buildbook.faultfinding.questions import Asking, visible_loads


def test_looks_stand_in_the_order_in_which_the_loads_are_upset(motorcycle):
    """Of questions that cost and part the same the first is asked: a set has no first."""
    state = next(iter(motorcycle.vehicle.states))
    loads = [x.id for d in motorcycle.vehicle.devices.values() for x in visible_loads(d)]
    assert len(loads) > 8
    effects = [[Effect(x, state, "dead", 0.0, 12.0) for x in loads[::-1]], []]
    asking = Asking(motorcycle.vehicle, motorcycle.harness, None, {})
    columns = asking._looks(effects, {state: np.zeros(2, dtype=bool)})
    assert [column.node for column in columns] == loads[::-1]
