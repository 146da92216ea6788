"""How thick the author wants wires: of a system, a circuit, or the one wire at a pin."""

from __future__ import annotations

from buildbook.description.amounts import ConductorSize
from buildbook.description.models.base import Section


class WireSizes(Section):
    """What stands at a wire goes before what its circuit says, and that before its system."""

    size: ConductorSize | None = None
    """Of its wires; it is kept, and judged."""
    least_size: ConductorSize | None = None
    """No wire is made thinner."""
    most_size: ConductorSize | None = None
    """No wire is made thicker: what asks for more is told."""
