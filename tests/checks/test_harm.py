"""Findings are sorted by the harm that their rules are about."""

from __future__ import annotations

from buildbook.checks.harm import OF, Harm, harm_of
from buildbook.checks.registry import RULES


def test_every_rule_that_has_a_kind_of_harm_is_there_once():
    named = [rule for rules in OF.values() for rule in rules.split()]
    assert len(named) == len(set(named)) and set(named) <= {rule.id for rule in RULES}


def test_what_burns_goes_before_what_wears_and_what_asks_goes_last():
    ranks = [harm_of(r).rank for r in ("feed-shorted", "seal-misfit", "part-missing")]
    assert ranks == sorted(ranks) and harm_of("part-missing") is Harm.ASKS
