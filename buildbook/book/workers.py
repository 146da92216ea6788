"""Worker processes: they draw while the sums still run, and set chapters as they are ready."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from multiprocessing import get_context, parent_process
from multiprocessing.connection import wait
from threading import Thread
from typing import Any, Generic

from buildbook.book.render import Job, Rendered, render, weasyprint_module
from buildbook.drawing.registry import KINDS
from buildbook.drawing.shared.by_subject import Sheets
from buildbook.files.kept import key_of
from buildbook.files.kept_objects import once
from buildbook.sizing.stage import Sized
from buildbook.tasks import Asked, Found, Task, here
from buildbook.vehicle.plain import plain, sums_key
from buildbook.words.say import in_language

BySubject = Mapping[str, Sheets]
RUBBISH = 2_000_000
"""New objects after which a worker looks for rings that nothing reaches: WeasyPrint's boxes are
such rings, and looking for them while a chapter is laid out takes a fifth of its time."""
EARLY = (
    ("schematics",),
    ("faces",),
    ("layouts", "lay-ups", "sections", "plan", "grounds"),
)
"""Kinds that are drawn as soon as sizes are known, in parts that take about as long."""


class Workers:
    """A number of processes, started at once; with one worker all is done in this process."""

    def __init__(self, count: int) -> None:
        self._pool = (
            ProcessPoolExecutor(count, get_context("spawn"), initializer=_begin)
            if count > 1
            else None
        )
        if self._pool:
            for _worker in range(count):
                self._pool.submit(_ready)

    def begin(
        self, function: Callable[Asked, Found], /, *args: Asked.args, **kwargs: Asked.kwargs
    ) -> Task[Found]:
        """Have something worked out beside this process, as a `Begin`."""
        if self._pool is None:
            return here(function, *args, **kwargs)
        call = partial(function, *args, **kwargs)
        return _Waiting(call, self._pool.submit(worked, call))

    def draw(self, sized: Sized, keep: bool = False) -> dict[str, Future[dict[str, BySubject]]]:
        """Begin to draw what follows from the sizes; name of a kind -> what will hold it.

        With `keep` what was drawn before is looked for in the cache folder, and kept there.
        """
        if self._pool is None:
            return {}
        key = sums_key(sized.vehicle) if keep else ""
        begun = {kinds: self._pool.submit(drawn, kinds, sized, key) for kinds in EARLY}
        return {kind: future for kinds, future in begun.items() for kind in kinds}

    def render(self, jobs: Iterable[Job]) -> Iterator[Rendered]:
        """Set chapters, each begun as soon as it is there, in the order in which they are done."""
        if self._pool is None:
            yield from map(render, jobs)
            return
        for future in as_completed([self._pool.submit(set_, job) for job in jobs]):
            yield future.result()

    def close(self) -> None:
        """End the processes; what none has begun is not begun."""
        if self._pool:
            self._pool.shutdown(cancel_futures=True)


@contextmanager
def workers_of(count: int) -> Iterator[Workers]:
    """Workers that end with the block."""
    workers = Workers(count)
    try:
        yield workers
    finally:
        workers.close()


@dataclass(frozen=True)
class _Waiting(Generic[Found]):
    """What a worker has begun, or is to begin when it has time."""

    call: Callable[[], Found]
    future: Future[Any]

    def result(self) -> Found:
        """What a worker found; worked out here where none has taken it up yet."""
        if self.future.cancel():
            return self.call()
        found: Found = self.future.result()
        return found


def worked(call: Callable[[], Found]) -> Found:
    """What a call gives; runs in a worker."""
    found = call()
    _tidy()
    return found


def drawn(kinds: Sequence[str], sized: Sized, key: str = "") -> dict[str, BySubject]:
    """Every sheet of some kinds of drawings; runs in a worker.

    `key` is the name of what the vehicle's sums follow from; '' where nothing is kept.
    """
    named = key and key_of((key, kinds))
    by_kind = once(named, partial(_drawn, kinds, replace(sized, vehicle=plain(sized.vehicle))))
    _tidy()
    return by_kind


def _drawn(kinds: Sequence[str], sized: Sized) -> dict[str, BySubject]:
    draws = {kind.name: kind.draw for kind in KINDS}
    by_kind: dict[str, BySubject] = {}
    with in_language(sized.vehicle.language):
        for kind in kinds:
            found = draws[kind](sized)
            by_kind[kind] = {subject: found[subject] for subject in found}
    return by_kind


def set_(job: Job) -> Rendered:
    """One chapter; runs in a worker."""
    rendered = render(job)
    _tidy()
    return rendered


def _begin() -> None:
    """What a worker does first: it is to end with its parent, however that ends."""
    gc.disable()
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """Wait for the parent's end, then end at once: nobody would take what is worked out."""
    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


def _ready() -> None:
    """Load what every task needs."""
    weasyprint_module()
    gc.freeze()


def _tidy() -> None:
    """Let go of what nothing reaches once there is much of it."""
    if gc.get_count()[0] > RUBBISH:
        gc.collect()
