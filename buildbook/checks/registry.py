"""The rules, found in their folder: each module there is one rule, in the order of their ids."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from dataclasses import dataclass

from buildbook.checks import rules
from buildbook.checks.stages import Rule


@dataclass(frozen=True)
class Registered:
    """A rule with what is said of it wherever the rules are listed."""

    id: str
    severities: tuple[str, ...]
    """Those that its findings may have, worst first."""
    finds: str
    """One sentence: what it finds."""
    source: str
    check: Rule


def discover() -> tuple[Registered, ...]:
    """Every rule of `checks/rules`, by id."""
    names = [module.name for module in pkgutil.iter_modules(rules.__path__)]
    return tuple(sorted((_registered(name) for name in names), key=lambda rule: rule.id))


def _registered(name: str) -> Registered:
    module = importlib.import_module(f"{rules.__name__}.{name}")
    return Registered(
        module.RULE,
        tuple(module.SEVERITY.split(" or ")),
        (inspect.getdoc(module) or "").splitlines()[0],
        module.SOURCE,
        module.check,
    )


RULES = discover()
