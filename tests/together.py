"""Which tests one worker runs together, so that what they share is made once, not once a worker."""

from __future__ import annotations

import pytest

VEHICLES = "lapwing", "motorcycle", "starter", "two_wire"
DRAWN = {"book_of", "words_of", "drawings_of"}
"""Whoever imports one of these reads the drawings of a vehicle, and many its book."""
SWEPT = {"swept_of", "broken"}
FIRST = (
    "lapwing drawn",
    "motorcycle drawn",
    "starter drawn",
    "tests/example/test_seeded_mistakes.py",
    "tests/example/test_a_change_follows_through.py",
    "300 circuits",
    "controller of 80 pins",
    "tests/book/test_order_pack.py",
    "tests/book/test_trackside.py",
)
"""What takes longest is begun first, so that both workers end together."""


def group_of(item: pytest.Item) -> str:
    """The name of the group that a test runs in: a vehicle's, a made-up shape's or its file's."""
    params = item.callspec.params if hasattr(item, "callspec") else {}
    if "made_up" in params:
        return params["made_up"].name
    imported = vars(item.module).keys()
    if imported & DRAWN:
        read = [v for v in VEHICLES if v in item.fixturenames or v in params.values()]
        if read:
            return f"{read[0]} drawn"
    if imported & SWEPT:
        return "swept"
    return item.nodeid.split("::")[0]


def put_together(items: list[pytest.Item]) -> None:
    """Mark each test with its group, and bring the longest groups to the front."""
    groups = {item: group_of(item) for item in items}
    for item, group in groups.items():
        item.add_marker(pytest.mark.xdist_group(group))
    places = {group: n for n, group in enumerate(FIRST)}
    items.sort(key=lambda item: places.get(groups[item], len(FIRST)))
