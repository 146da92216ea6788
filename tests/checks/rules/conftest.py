"""Every vehicle that a rule is tested with is told of in German too."""

from __future__ import annotations

import importlib
from collections.abc import Iterator

import pytest

from buildbook.checks.model import Finding
from buildbook.checks.registry import RULES
from buildbook.checks.stages import Assessed, Rule
from buildbook.words.say import in_language, unknown_words

MODULES = [importlib.import_module(rule.check.__module__) for rule in RULES]


@pytest.fixture(autouse=True)
def _told_in_german_too(monkeypatch):
    for module in MODULES:
        monkeypatch.setattr(module, "check", _in_both(module.check))


def _in_both(check: Rule) -> Rule:
    """A rule that finds what it does, and fails where German lacks words for it."""

    def checked(assessed: Assessed) -> Iterator[Finding]:
        with in_language("de"), unknown_words() as unknown:
            list(check(assessed))
        assert unknown == set()
        return check(assessed)

    return checked
