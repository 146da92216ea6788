"""What the mutation run of a room leaves out, and what it forgets between tests."""

from __future__ import annotations

import sys
from functools import cache
from types import ModuleType, SimpleNamespace

from tests import mutate


def item(*fixtures: str, **params: object) -> SimpleNamespace:
    told = {"callspec": SimpleNamespace(params=params)} if params else {}
    return SimpleNamespace(fixturenames=fixtures, **told)


def test_large_vehicles_are_left_out_whether_a_fixture_or_a_parameter_names_them():
    small, by_hand = item("two_wire"), item("request", vehicle="two_wire", length_m=2.0)
    large = item("lapwing"), item("request", vehicle="motorcycle")
    items = [small, large[0], by_hand, large[1]]
    mutate.pytest_collection_modifyitems(items)
    assert items == [small, by_hand]


def test_what_the_room_remembers_is_forgotten_and_what_others_do_is_kept(monkeypatch):
    kept = {}
    for name in ("buildbook.harness.packing_", "buildbook.catalogue.load_"):
        module = ModuleType(name)
        module.found = kept[name] = cache(lambda n: n)
        module.found(1)
        module._KNOWN = {1: 1}
        monkeypatch.setitem(sys.modules, name, module)
    monkeypatch.setattr(sys, "argv", ["mutate.py", "harness", "run"])
    mutate.pytest_runtest_setup()
    assert [one.cache_info().currsize for one in kept.values()] == [0, 1]
    assert [sys.modules[name]._KNOWN for name in kept] == [{}, {1: 1}]
