"""What is found of a vehicle that an earlier state of it had not, and what is found no more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from buildbook.checks.model import SEVERITIES, Finding
from buildbook.checks.stages import Checked
from buildbook.checks.waivers import names_of

Lasting = tuple[str, tuple[str, ...]]
"""A rule, and what it is about by names that stay when a circuit is added."""


@dataclass(frozen=True)
class Since:
    """Two states of a vehicle held against each other."""

    new: tuple[Finding, ...]
    """Found now and not before, or worse than before."""
    gone: tuple[Finding, ...]
    """Found before, and now not, less bad, or waived; as they were found then."""
    kept: int
    """How many are found now as they were before."""


def since(before: Checked, now: Checked) -> Since:
    """Compare what is found now with what was found before; what is waived counts as not found.

    Numbers of wires, splices and pass-through contacts shift from state to state: what is found
    of them is known again by its circuit and the pins at its ends.
    """
    was, is_now = _worst(before), _worst(now)
    found = [f for f in now.findings if not f.waived]
    new = tuple(f for f in found if _is_other(now, f, was))
    gone = tuple(f for f in before.findings if not f.waived and _is_other(before, f, is_now))
    return Since(new, gone, len(found) - len(new))


def _is_other(checked: Checked, finding: Finding, others: Mapping[Lasting, int]) -> bool:
    """Whether something that a finding names is less bad in the other state, or not named."""
    level = _level(finding)
    keys = (_lasting(checked, key) for key in finding.keys)
    return any(level < others.get(key, len(SEVERITIES)) for key in keys)


def _worst(checked: Checked) -> dict[Lasting, int]:
    worst: dict[Lasting, int] = {}
    for finding in checked.findings:
        if not finding.waived:
            for key in (_lasting(checked, key) for key in finding.keys):
                worst[key] = min(_level(finding), worst.get(key, len(SEVERITIES)))
    return worst


def _level(finding: Finding) -> int:
    """0 for an error."""
    return SEVERITIES.index(finding.severity)


def _lasting(checked: Checked, key: tuple[str, str]) -> Lasting:
    rule, about = key
    own, *others = names_of(checked, about)
    return rule, tuple(sorted(others)) or (own,)
