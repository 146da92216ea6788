"""Worker processes that set chapters."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from multiprocessing import get_context

from buildbook.book.render import Job, Rendered, render

Renderer = Callable[[list[Job]], Iterator[Rendered]]


@contextmanager
def renderer(workers: int) -> Iterator[Renderer]:
    """Renders lists of jobs: in this process for one worker, else in spawned ones.

    Those never look for unreachable rings: they end with the book.
    """
    if workers <= 1:
        yield lambda jobs: map(render, jobs)
        return
    with ProcessPoolExecutor(workers, get_context("spawn"), initializer=gc.disable) as pool:

        def spread(jobs: list[Job]) -> Iterator[Rendered]:
            longest_first = sorted(jobs, key=lambda job: -len(job.html))
            futures = [pool.submit(render, job) for job in longest_first]
            for future in as_completed(futures):
                yield future.result()

        yield spread
