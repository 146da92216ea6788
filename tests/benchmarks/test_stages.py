"""Times the stages of the example in one run, as shares of the whole; run by name only.

python -m pytest -n 0 -s tests/benchmarks
"""

from __future__ import annotations

import time

from buildbook.book.drawings import Drawings
from buildbook.book.make import make_book
from buildbook.pipeline import quiet, work_out
from tests.conftest import EXAMPLE


def test_where_the_time_goes(tmp_path):
    marks: list[tuple[str, float]] = []

    def note(what: str, _done: int, _total: int) -> None:
        marks.append((what, time.perf_counter()))

    result, problems = work_out(EXAMPLE, note)
    assert result is not None, problems
    marks.append(("Drawing", time.perf_counter()))
    drawings = Drawings(result)
    drawings.every()
    marks.append(("Setting the book", time.perf_counter()))
    make_book(result, drawings, tmp_path / "book.pdf", quiet)
    marks.append(("", time.perf_counter()))
    whole = marks[-1][1] - marks[0][1]
    for (what, begin), (_next, end) in zip(marks, marks[1:], strict=False):
        print(f"{what:32} {100 * (end - begin) / whole:5.1f} %")
