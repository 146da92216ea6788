"""The pages of the reference: told by models and rules themselves, or written by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from buildbook.as_built.model import AsBuilt
from buildbook.checks.listing import table
from buildbook.description.models import Description
from buildbook.description.quantities import EXAMPLES
from buildbook.reference.keys import key_list

FOLDER = Path(__file__).parent
SECTIONS = tuple(Description.model_fields)


@dataclass(frozen=True)
class Topic:
    """A page of the reference, made when it is asked for."""

    name: str
    teaches: str
    """One line for the list."""
    text: Callable[[], str]
    """Its Markdown."""


def description() -> str:
    """How a description is written, and every section of it."""
    units = "\n".join(
        f"- {' or '.join(f'`{x}`' for x in quantity.split(' or '))}"
        for quantity in EXAMPLES.values()
    )
    return "\n\n".join([_written("pages/description"), units, *map(section, SECTIONS)])


def section(name: str) -> str:
    """A section of the description: how it is used, and all its keys."""
    parts = [f"## {name}", _written(f"sections/{name}"), key_list(Description, name)]
    return "\n\n".join(filter(None, parts))


def rules() -> str:
    """Every rule that `check` runs, and how its findings are waived."""
    return f"{_written('pages/rules')}\n\n{table()}"


def as_built() -> str:
    """The record of what was built, and its keys."""
    return f"{_written('pages/as-built')}\n\n{key_list(AsBuilt)}"


def _written(name: str) -> str:
    """What was written by hand; nothing where there is nothing."""
    path = FOLDER / f"{name}.md"
    return path.read_text(encoding="utf-8").strip() if path.exists() else ""


def _by_hand(name: str) -> Callable[[], str]:
    return lambda: _written(f"pages/{name}")


TOPICS = (
    Topic("description", "every section and key of the vehicle folder", description),
    Topic("rules", "what `check` looks for, how bad it is, and on whose word", rules),
    Topic("as-built", "the record of what was built, as `record` writes it", as_built),
    Topic(
        "revisions",
        "what `issue` keeps of a revision, and how pages are swapped in a binder",
        _by_hand("revisions"),
    ),
    Topic(
        "results",
        "what `export` writes: keys of results.json, columns of the tables",
        _by_hand("results"),
    ),
    Topic("diagnose", "what `diagnose --json` prints", _by_hand("diagnose")),
    Topic("calc", "what `calc NAME --json` prints", _by_hand("calc")),
)
