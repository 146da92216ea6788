"""The test vehicles, each worked out once a run."""

from __future__ import annotations

import gc
import shutil
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from buildbook.cli import SELDOM
from buildbook.files.starter import write_starter
from buildbook.pipeline import work_out
from buildbook.result import Result
from tests.together import group_of, place_of

gc.set_threshold(SELDOM)

TESTS = Path(__file__).parent
EXAMPLE = TESTS.parent / "example_vehicle"
STARTER = TESTS.parent / "buildbook" / "starter"
PARTS = ("parts.yaml", "parts-bench.csv")
IN_SHORT = {
    EXAMPLE: (
        "engine.yaml",
        "body.yaml",
        "supply.yaml",
        "feeds.csv",
        "parts.yaml",
        "parts-bench.csv",
    ),
    TESTS / "vehicles" / "motorcycle": ("devices.yaml", "circuits.yaml"),
    STARTER: ("vehicle.yaml", "parts.csv"),
}
"""Vehicles that are written in short, and the files in which they are; `written_out` has those that
stand in their place in full, as they were written before there was a short."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Bring what takes longest to the front."""
    items.sort(key=lambda item: place_of(item.nodeid))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Give each group of tests to one worker, in the order in which they stand."""
    from xdist.scheduler import LoadScopeScheduling

    class Together(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            return group_of(nodeid)

    return Together(config, log)


@pytest.fixture(scope="session", autouse=True)
def caches(tmp_path_factory) -> Iterator[Path]:
    """Where tests keep what they work out: no test reads or writes the user's own cache folder."""
    folder = tmp_path_factory.mktemp("caches")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(folder))
        yield folder


@pytest.fixture(autouse=True)
def cache_folder(caches, monkeypatch) -> Path:
    """The cache folder of one test, not there yet: it meets nothing that another test kept."""
    home = tempfile.mkdtemp(dir=caches)
    monkeypatch.setenv("XDG_CACHE_HOME", home)
    return Path(home) / "buildbook"


@cache
def in_full(folder: Path) -> Path:
    """The same vehicle with nothing left to be written out, for readers that know no short."""
    if folder not in IN_SHORT:
        return folder
    made = Path(tempfile.mkdtemp()) / folder.name
    shutil.copytree(folder, made, ignore=shutil.ignore_patterns(*IN_SHORT[folder]))
    return Path(shutil.copytree(TESTS / "written_out" / folder.name, made, dirs_exist_ok=True))


def result_of(folder: Path) -> Result:
    """The Result of a folder that has no problems."""
    result, problems = work_out(folder)
    assert not problems, "\n".join(f"{p.where}: {p.what}" for p in problems)
    assert result is not None
    return result


@pytest.fixture(scope="session")
def two_wire() -> Result:
    return result_of(TESTS / "vehicles" / "two-wire")


@pytest.fixture(scope="session")
def motorcycle() -> Result:
    return result_of(TESTS / "vehicles" / "motorcycle")


@pytest.fixture(scope="session")
def positive_earth() -> Result:
    """6 V with the plus on the body, a dynamo and a magneto."""
    return result_of(TESTS / "vehicles" / "positive-earth")


@pytest.fixture(scope="session")
def two_batteries() -> Result:
    """24 V from two batteries of 12 V, with a tap between them."""
    return result_of(TESTS / "vehicles" / "two-batteries")


@pytest.fixture(scope="session")
def lapwing() -> Result:
    return result_of(EXAMPLE)


@pytest.fixture(scope="session")
def starter(tmp_path_factory) -> Result:
    folder = tmp_path_factory.mktemp("starter") / "vehicle"
    write_starter(folder)
    return result_of(folder)
