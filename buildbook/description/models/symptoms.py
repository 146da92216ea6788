"""What a driver sees, and what looks the same and is not electrical."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from buildbook.description.models.base import (
    Caution,
    In,
    Names,
    Section,
    Text,
    When,
    as_list,
    as_text,
)


class Sign(Section):
    """What is seen at once, by devices or by single loads (`headlamp-left.1`); `all` of them."""

    dead: Names = []
    """What does nothing."""
    weak: Names = []
    """What works, but less than it should."""
    stuck_on: Names = []
    """What does not stop."""
    reads_wrong: Names = []
    """Sensors whose reading is off."""
    blows: Names = []
    """Fuses that blow again when renewed, in the states named and no other."""
    works: Names = []
    """What is well all the same."""
    in_: In = When()
    """States in which it is seen; default all in which the things named should work."""


class Cause(Section):
    """What has the same look and is not electrical."""

    what: Annotated[str, BeforeValidator(as_text), Field(min_length=1, max_length=200)]
    """In words."""
    check: Text
    """What to look at, listen to or feel."""
    likely: Literal["often", "sometimes", "seldom"] = "sometimes"
    """How often it is that."""
    caution: Caution | None = None
    """What is dangerous about looking."""


class Complaint(Section):
    """What a driver says, named by its key: 'cranks but does not fire'."""

    about: Text = ""
    """What else is told of it."""
    seen: Annotated[list[Sign], BeforeValidator(as_list)] = []
    """One of these is seen."""
    causes: Annotated[list[Cause], BeforeValidator(as_list)] = []
    """What else it may be."""
