"""Each test of the sizing room works everything out itself, so that each stands alone."""

from __future__ import annotations

import sys

import pytest

REMEMBER = "buildbook.sizing.", "tests.sizing.small"


@pytest.fixture(autouse=True)
def nothing_remembered():
    """Forget what earlier tests worked out: a mutant must not live on their answers."""
    for name, module in list(sys.modules.items()):
        if name.startswith(REMEMBER):
            for value in list(vars(module).values()):
                if hasattr(value, "cache_clear"):
                    value.cache_clear()
