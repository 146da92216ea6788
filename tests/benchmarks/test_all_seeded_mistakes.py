"""Lays every seeded mistake over the example; takes minutes, so it runs by name only.

    python -m pytest -n 0 -s tests/benchmarks/test_all_seeded_mistakes.py

Prints what finds each, and the ones that are missed.
"""

from __future__ import annotations

from tests.conftest import EXAMPLE, in_full
from tests.example.mistakes import found, mistakes, told_about, with_mistake

AT_LEAST = 55


def test_nearly_all_mistakes_are_found(tmp_path):
    untouched = told_about(in_full(EXAMPLE))
    missed = []
    for mistake in mistakes():
        folder = with_mistake(mistake, tmp_path / mistake.id)
        right = found(mistake, untouched, told_about(folder))
        by = ", ".join(sorted({told.key[0] for told in right}))
        print(f"{mistake.id:36} {by or 'MISSED'}")
        missed += [] if right else [mistake.id]
    count = len(mistakes()) - len(missed)
    print(f"{count} of {len(mistakes())} found")
    assert count >= AT_LEAST, missed
