"""Inverses for pulses, against numpy's own and by hand."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from buildbook.electrical.pulses import inverses


def test_by_hand():
    """The inverse of [[a, b], [b, d]] is [[d, -b], [-b, a]] / (a d - b b)."""
    (found,) = inverses(np.array([[[2.0, 1.0], [1.0, 3.0]]]))
    assert np.allclose(found, np.array([[3.0, -1.0], [-1.0, 2.0]]) / 5.0, rtol=1e-15)


@settings(max_examples=50, deadline=None)
@given(st.integers(1, 12), st.integers(1, 5), st.integers(0, 10**6))
def test_of_resistances_that_share_a_feed(size, count, seed):
    """What branches on one feed see is what they share, and their own besides: as numpy inverts."""
    chance = np.random.default_rng(seed)
    shared = 10.0 ** chance.uniform(-4, 2, (count, 1, 1))
    own = 10.0 ** chance.uniform(-3, 5, (count, size))
    seen = np.broadcast_to(shared, (count, size, size)) + own[:, :, None] * np.eye(size)
    before = seen.copy()
    found = inverses(seen)
    assert np.allclose(found, np.linalg.inv(seen), rtol=1e-9, atol=1e-12)
    assert np.array_equal(seen, before)
