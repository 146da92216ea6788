"""The example in inches, gauges and on Letter: every edition for the bench, every harness."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildbook.audit.audit import audit
from buildbook.book.editions import EDITIONS, helper_pack
from buildbook.result import Result
from tests.book.test_inches import FOR_THE_BENCH, made, strays
from tests.book.test_margins import outside
from tests.conftest import EXAMPLE, in_full, result_of
from tests.in_inches import in_inches


@pytest.fixture(scope="module")
def lapwing_in_inches(tmp_path_factory) -> Result:
    return result_of(in_inches(in_full(EXAMPLE), tmp_path_factory.mktemp("inches")))


@pytest.mark.parametrize("name", FOR_THE_BENCH)
def test_no_page_has_a_stray_unit(lapwing_in_inches, tmp_path, name):
    pdf: Path = made(lapwing_in_inches, EDITIONS[name], tmp_path)
    assert strays(pdf, lapwing_in_inches.harness.wires) == []
    if name != "trackside":
        assert outside(pdf, "Letter") == []
    if name in ("whole", "order"):
        assert audit(pdf, lapwing_in_inches, name) == []


def test_no_helpers_pack_has_a_stray_unit(lapwing_in_inches, tmp_path):
    for harness in lapwing_in_inches.vehicle.description.rope:
        pdf = made(lapwing_in_inches, helper_pack(harness), tmp_path)
        assert strays(pdf, lapwing_in_inches.harness.wires) == []
