"""Mutates one room and runs that room's own tests on it, by mutmut: see DEVELOPERS.md, Tests.

`python tests/mutate.py parts run --max-children 2`; then `results` or `show NAME` in place of
`run`. The example and the motorcycle are left out: working them out takes a second and more, for
every mutant.
"""

from __future__ import annotations

import sys
from dataclasses import replace

import pytest

LARGE = {"lapwing", "motorcycle"}
"""Vehicles that no mutant is tried on."""
KEPT = {"sizing": "not (test_choose and (never or order))"}
"""Room -> which of its tests are run, where some take long and kill next to nothing."""


def pytest_configure() -> None:
    """Every mutant meets the same examples, and no time goes into making them smaller."""
    from hypothesis import Phase, settings

    plain = Phase.explicit, Phase.generate
    settings.register_profile("mutation", derandomize=True, phases=plain)
    settings.load_profile("mutation")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Leave out what reads a large vehicle, as a fixture or by a parameter."""
    items[:] = [item for item in items if not LARGE & _read_by(item)]


def _read_by(item: pytest.Item) -> set[str]:
    parameters = item.callspec.params.values() if hasattr(item, "callspec") else ()
    return {*getattr(item, "fixturenames", ()), *(p for p in parameters if isinstance(p, str))}


def pytest_runtest_setup() -> None:
    """Forget what the room worked out before: a mutant must not live on earlier answers."""
    room = sys.argv[1]
    for name, module in list(sys.modules.items()):
        if name.startswith((f"buildbook.{room}.", f"tests.{room}.")):
            getattr(module, "_KNOWN", {}).clear()
            for value in list(vars(module).values()):
                if hasattr(value, "cache_clear"):
                    value.cache_clear()


def main(room: str, *command: str) -> None:
    """Run a command of mutmut on a room."""
    from mutmut import configuration
    from mutmut.__main__ import cli

    arguments = ["-o", "addopts=", "-p", "no:xdist", "-p", "mutate", "-q"]
    if room in KEPT:
        arguments += ["-k", KEPT[room]]
    configuration._config = replace(
        configuration.config(),
        only_mutate=[f"buildbook/{room}/*.py"],
        pytest_add_cli_args=arguments,
        pytest_add_cli_args_test_selection=[f"tests/{room}"],
    )
    cli(command)


if __name__ == "__main__":
    main(*sys.argv[1:])
