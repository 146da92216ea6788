"""Figures from published handbooks and standards, copied with their sources."""

from buildbook.catalogue.model import Conductor, WireFamily

FOOT_M = 0.3048
CIRCULAR_MIL_MM2 = 5.067e-4

# FAA AC 43.13-1B, table 11-9: 70 degC ambient, 33 or more wires in the bundle (9 for size 8 and
# larger), 20 percent loaded, 60 000 ft. Gauge, amps at 105, 150, 200 degC, ohm per 1000 ft at
# 20 degC, circular mils; the last column, outside diameter in mm, is from memory.
TABLE_11_9 = [
    ("AWG 24", 2.5, 4, 5, 28.40, 475, 1.1),
    ("AWG 22", 3, 5, 6, 16.20, 755, 1.3),
    ("AWG 20", 4, 7, 9, 9.88, 1216, 1.5),
    ("AWG 18", 6, 9, 12, 6.23, 1900, 1.8),
    ("AWG 16", 7, 11, 14, 4.81, 2426, 2.0),
    ("AWG 14", 10, 14, 18, 3.06, 3831, 2.4),
    ("AWG 12", 13, 19, 25, 2.02, 5874, 2.9),
    ("AWG 10", 17, 26, 32, 1.26, 9354, 3.6),
    ("AWG 8", 38, 57, 71, 0.70, 16983, 5.3),
    ("AWG 6", 50, 76, 97, 0.44, 26818, 6.6),
    ("AWG 4", 68, 103, 133, 0.28, 42615, 8.2),
    ("AWG 2", 95, 141, 179, 0.18, 66500, 10.2),
    ("AWG 1", 113, 166, 210, 0.15, 81700, 11.3),
    ("AWG 1/0", 128, 192, 243, 0.12, 104500, 12.6),
]

# FAA AC 43.13-1B, table 11-7: run in feet, amps, gauge, ohm per foot, drop in volts.
TABLE_11_7 = [
    (107, 20, "AWG 6", 0.00044, 0.942),
    (90, 20, "AWG 4", 0.00028, 0.504),
    (88, 20, "AWG 12", 0.00202, 3.60),
    (100, 20, "AWG 14", 0.00306, 6.12),
]


def conductor(row):
    """A row of table 11-9 as a conductor."""
    label, _, _, _, ohm, mils, outside = row
    ohm_per_m = ohm / 1000 / FOOT_M
    return Conductor(label, mils * CIRCULAR_MIL_MM2, ohm_per_m, outside, 0.01, "read")


AIRCRAFT = WireFamily(
    "aircraft",
    "Tin-plated copper",
    150.0,
    tuple(conductor(row) for row in TABLE_11_9),
    "FAA AC 43.13-1B, table 11-9",
)
