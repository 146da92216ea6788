"""Work that may be done beside the rest of a run, in another process where there is one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, ParamSpec, Protocol, TypeVar

Asked = ParamSpec("Asked")
Found = TypeVar("Found")
Known = TypeVar("Known", covariant=True)


class Task(Protocol[Known]):
    """Something that was begun."""

    def result(self) -> Known:
        """What came of it, waited for; raises what it raised."""


class Begin(Protocol):
    """Begins a function; its arguments and what it gives are to be data that can be sent."""

    def __call__(
        self, function: Callable[Asked, Found], /, *args: Asked.args, **kwargs: Asked.kwargs
    ) -> Task[Found]: ...


@dataclass(frozen=True)
class _Done(Generic[Found]):
    found: Found

    def result(self) -> Found:
        return self.found


def here(
    function: Callable[Asked, Found], /, *args: Asked.args, **kwargs: Asked.kwargs
) -> Task[Found]:
    """Done at once, in this process."""
    return _Done(function(*args, **kwargs))
