"""Copper: the constants that its resistance, heat and mass follow from, each with its source."""

from __future__ import annotations

ZERO_RESISTANCE_C = 234.5
"""Its resistance would vanish this far below 0 degC (AC 43.13-1B, 11-66; IEC 60228); the reciprocal
of its temperature coefficient at 0 degC in IEC 60364-5-54, annex A (from memory)."""
REFERENCE_C = 20.0
"""At which conductors' resistances are stated (IEC 60228)."""
FROM_ZERO_TO_REFERENCE_C = ZERO_RESISTANCE_C + REFERENCE_C
"""254.5: resistance at a temperature over that at 20 degC is (234.5 + T) / 254.5."""
OHM_MM_20C = 17.241e-6
"""Resistivity at 20 degC (IEC 60364-5-54, annex A; from memory)."""
J_PER_M3_K = 3.45e6
"""Heat capacity by volume: 8890 kg/m3 at 388 J/(kg K) (IEC 60949, memory); the same in IEC
60364-5-54, annex A (from memory)."""
KG_PER_M3 = 8890
"""IEC 60028 (memory)."""
MELTS_C = 1085.0
"""Melting point (memory)."""
STRAND_FILL = 0.75
"""Copper in the circle that a stranded conductor fills (memory)."""
