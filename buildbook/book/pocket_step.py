"""A step of a trackside entry as it is printed."""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.drawing.shared.model import Drawing

HANGS_MM = 10.0
"""Height of three lines of a step."""
BESIDE_PICTURE = 40
"""Letters of two answers that stand beside each other and a picture on A5. Tried."""


@dataclass(frozen=True)
class PocketStep:
    """One question: what to do and where, its two answers, and where each leads."""

    number: int
    ask: str
    wire: str
    """Number and colours of the wire there; '' for none."""
    ends: bool
    """What is asked ends with a mark of its own, or with the state that follows it."""
    state: str
    picture: Drawing | None
    low: str
    low_then: str
    high: str
    high_then: str
    well: str
    """'low' or 'high': what nothing broken shows; '' where neither or both."""
    hung_into: bool = False
    """The picture of the step before may hang down beside its answers."""

    @property
    def hangs(self) -> bool:
        """Whether its picture is higher than what it may say in a few lines: a panel's."""
        return self.picture is not None and self.picture.height_mm > HANGS_MM

    @property
    def is_long(self) -> bool:
        """Whether its answers go below each other: in a row they would run under a picture."""
        said = (self.low, self.low_then, self.high, self.high_then)
        pictured = self.picture is not None or self.hung_into
        return pictured and sum(map(len, said)) > BESIDE_PICTURE
