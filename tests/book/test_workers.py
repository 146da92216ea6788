"""What is worked out beside the rest of a run is the same, and its errors are not lost."""

from __future__ import annotations

import math
import os
import time

import numpy as np
import pytest

from buildbook.book.workers import workers_of
from buildbook.faultfinding import breaking
from buildbook.faultfinding.sweep import sweep
from buildbook.pipeline import work_out
from tests.conftest import TESTS
from tests.once import swept_of


@pytest.fixture(scope="module")
def two_workers():
    with workers_of(2) as workers:
        yield workers


def test_it_is_done_in_another_process_or_here_where_there_is_none(two_workers):
    beside, end = os.getpid(), time.monotonic() + 60
    while beside == os.getpid() and time.monotonic() < end:
        task = two_workers.begin(os.getpid)
        time.sleep(0.5)
        beside = task.result()
    assert beside != os.getpid()
    with workers_of(1) as alone:
        assert alone.begin(os.getpid).result() == os.getpid()


def test_what_no_worker_has_taken_up_is_done_here(two_workers):
    tasks = [two_workers.begin(math.factorial, 80_000 + n) for n in range(12)]
    last = two_workers.begin(os.getpid)
    assert last.result() == os.getpid()
    assert all(task.result() > 0 for task in tasks)


def test_an_error_comes_back(two_workers):
    with pytest.raises(ValueError, match="math domain|nonnegative"):
        two_workers.begin(math.sqrt, -1.0).result()


def test_a_vehicle_broken_in_two_processes_is_broken_as_in_one(motorcycle, two_workers):
    sent = []

    def begin(function, *args):
        sent.append(function)
        return two_workers.begin(function, *args)

    parts = motorcycle.vehicle, motorcycle.harness, motorcycle.sizing, motorcycle.solved
    shared, whole = sweep(*parts, begin), swept_of(motorcycle)
    assert sent
    assert shared.faults == whole.faults and shared.blown == whole.blown
    assert all(np.array_equal(shared.faulted[s], volts) for s, volts in whole.faulted.items())


def test_volts_that_are_too_many_to_send_are_worked_out_here(motorcycle, monkeypatch):
    monkeypatch.setattr(breaking, "MOST_SENT", 0)

    def refused(*_words):
        raise AssertionError("was sent")

    parts = motorcycle.vehicle, motorcycle.harness, motorcycle.sizing, motorcycle.solved
    assert sweep(*parts, refused).faults


def test_a_result_of_several_processes_is_that_of_one(two_wire, two_workers):
    folder = TESTS / "vehicles" / "two-wire"
    result, problems = work_out(folder, begin_beside=two_workers.begin)
    assert result is not None, problems
    assert result.findings == two_wire.findings and result.power_up == two_wire.power_up
    assert result.unplugged == two_wire.unplugged
