"""Lays every mistake of the list over its small vehicle; takes minutes, so it runs by name only.

    python -m pytest -n 0 -s tests/benchmarks/test_mistakes_over_four_vehicles.py

Prints of each whether it is found, how many lines are new, whether the cure is named; then by kind.
"""

from __future__ import annotations

from collections import Counter

import pytest

from tests.checks.over_four_vehicles import (
    LIST,
    TWENTY_MORE,
    TWENTY_OTHERS,
    VEHICLES,
    cured,
    lines_about,
    mistakes,
    new_lines,
    right_ones,
    with_mistake,
)

AT_LEAST = 0.85
MOST_LINES = 3


@pytest.mark.parametrize(
    "path", [LIST, TWENTY_MORE, TWENTY_OTHERS], ids=["120", "twenty more", "others"]
)
def test_mistakes_are_found_in_few_lines_with_their_cure(path, tmp_path):
    clean = {name: lines_about(VEHICLES / name) for name in {m.vehicle for m in mistakes(path)}}
    total: Counter[str] = Counter()
    found: Counter[str] = Counter()
    brief = right_cures = 0
    for mistake in mistakes(path):
        new = new_lines(
            clean[mistake.vehicle], lines_about(with_mistake(mistake, tmp_path / mistake.id))
        )
        right = right_ones(mistake, new)
        cure = cured(mistake, right)
        total[mistake.kind] += 1
        found[mistake.kind] += bool(right)
        brief += len(new) <= MOST_LINES
        right_cures += cure
        told = right[0] if right else None
        mark = "found" if right else "MISSED"
        by = "right" if cure else "wrong"
        print(f"{mistake.id} {mark:6} {len(new):3} new, cure {by} {mistake.kind}: {mistake.wrong}")
        for line in [told] if told else new[:4]:
            print(f"      [{line.rule}] {line.severity} {line.where}: {line.text} => {line.cure}")
    for kind, count in total.most_common():
        print(f"{kind:14} {found[kind]:3} of {count}")
    print(f"{found.total()} of {total.total()} found, {right_cures} cures right")
    print(f"{brief} with {MOST_LINES} new lines at most")
    assert found.total() >= AT_LEAST * total.total()
