"""An upright rectangle on paper."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Box:
    """An upright rectangle in mm, y downwards."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        return self.x + self.w

    @property
    def bottom(self) -> float:
        return self.y + self.h

    def overlaps(self, other: Box, gap: float = 0.0) -> bool:
        return (
            self.x < other.right + gap
            and other.x < self.right + gap
            and self.y < other.bottom + gap
            and other.y < self.bottom + gap
        )

    def grown(self, by: float) -> Box:
        """The box with so much more on every side."""
        return Box(self.x - by, self.y - by, self.w + 2 * by, self.h + 2 * by)

    def holds(self, other: Box) -> bool:
        return (
            self.x - 1e-6 <= other.x
            and self.y - 1e-6 <= other.y
            and other.right <= self.right + 1e-6
            and other.bottom <= self.bottom + 1e-6
        )
