"""A pytest plugin that takes the body out of every rule and says which tests then fail.

    python -m pytest -n 0 -p tests.checks.blanked tests/checks

A rule is proven where a test called it, blank, and failed.
"""

from __future__ import annotations

import importlib
import pkgutil

import pytest

from buildbook.checks import rules

called: set[str] = set()
proven: set[str] = set()
names = [module.name for module in pkgutil.iter_modules(rules.__path__)]


def _blank(name: str):
    def check(_context):
        called.add(name)
        return ()

    return check


def pytest_configure(config):
    for name in names:
        importlib.import_module(f"{rules.__name__}.{name}").check = _blank(name)


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_call(item):
    called.clear()
    outcome = yield
    if outcome.excinfo is not None and len(called) == 1:
        proven.update(called)


def pytest_terminal_summary(terminalreporter):
    terminalreporter.write_line(f"proven: {' '.join(sorted(proven))}")
