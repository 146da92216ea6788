"""Figures from published handbooks and standards, copied with their sources."""

import math

from buildbook.catalogue.model import Conductor, WireFamily

FOOT_M = 0.3048
CIRCULAR_MIL_MM2 = 5.067e-4

# FAA AC 43.13-1B, table 11-9 (read): 70 degC ambient, 33 or more wires in the bundle (9 for size 8
# and larger), 20 percent loaded, 60 000 ft. Gauge, amps at 105, 150, 200 degC, ohm per 1000 ft at
# 20 degC, circular mils; the last column, outside diameter in mm, is from memory (AS22759/16).
TABLE_11_9 = [
    ("AWG 24", 2.5, 4, 5, 28.40, 475, 1.14),
    ("AWG 22", 3, 5, 6, 16.20, 755, 1.27),
    ("AWG 20", 4, 7, 9, 9.88, 1216, 1.47),
    ("AWG 18", 6, 9, 12, 6.23, 1900, 1.78),
    ("AWG 16", 7, 11, 14, 4.81, 2426, 2.0),
    ("AWG 14", 10, 14, 18, 3.06, 3831, 2.39),
    ("AWG 12", 13, 19, 25, 2.02, 5874, 2.87),
    ("AWG 10", 17, 26, 32, 1.26, 9354, 3.5),
    ("AWG 8", 38, 57, 71, 0.70, 16983, 5.0),
    ("AWG 6", 50, 76, 97, 0.44, 26818, 6.3),
    ("AWG 4", 68, 103, 133, 0.28, 42615, 7.9),
    ("AWG 2", 95, 141, 179, 0.18, 66500, 9.9),
    ("AWG 1", 113, 166, 210, 0.15, 81700, 11.0),
    ("AWG 1/0", 128, 192, 243, 0.12, 104500, 12.2),
    ("AWG 2/0", 147, 222, 285, 0.09, 133000, 13.6),
    ("AWG 3/0", 172, 262, 335, 0.07, 166500, 15.2),
    ("AWG 4/0", 204, 310, 395, 0.06, 210900, 16.8),
]
TABLE_11_9_FT = 60000
TABLE_11_9_AMBIENT_C = 70.0


def wires_of_table_11_9(row):
    """Wires in the bundle that the table assumes: fewer for size 8 and larger."""
    return 33 if row[5] < 10000 else 9


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


# MIL-W-5088L, bundle derating chart, as read off it in a public listing (read): wires in the
# bundle, factor at 20, 40, 60, 80 and 100 percent of the bundle's capacity in use.
MIL_W_5088_BUNDLE = [
    (1, 1, 1, 1, 1, 1),
    (2, 0.9675, 0.92, 0.91, 0.87, 0.825),
    (3, 0.935, 0.855, 0.815, 0.77, 0.725),
    (4, 0.9075, 0.805, 0.75, 0.705, 0.66),
    (5, 0.875, 0.76, 0.695, 0.65, 0.61),
    (6, 0.85, 0.725, 0.655, 0.605, 0.5725),
    (7, 0.82, 0.695, 0.625, 0.57, 0.54),
    (8, 0.795, 0.6675, 0.595, 0.5425, 0.5125),
    (10, 0.755, 0.6225, 0.55, 0.5, 0.465),
    (12, 0.715, 0.585, 0.515, 0.465, 0.43),
    (15, 0.67, 0.54, 0.465, 0.42, 0.385),
    (19, 0.625, 0.495, 0.4225, 0.38, 0.3425),
]

# 33 CFR 183.425, table 5 (read): gauge, amps at 105 and 125 degC in 30 degC air, not more than
# two conductors together; the last column, outside diameter in mm of boat cable, is from memory.
BOAT_TABLE_5 = [
    (18, 20, 25, 2.8),
    (16, 25, 30, 3.1),
    (14, 35, 40, 3.5),
    (12, 45, 50, 4.0),
    (10, 60, 70, 4.7),
    (8, 80, 90, 6.5),
    (6, 120, 125, 7.9),
    (4, 160, 170, 9.2),
    (2, 210, 225, 11.3),
    (1, 245, 265, 12.9),
    (0, 285, 305, 14.1),
    (-1, 330, 355, 15.4),
]
# The same, note 1 (memory, its purpose read): factor for 50 degC in engine spaces, by insulation.
BOAT_ENGINE_SPACE = {60: 0.58, 75: 0.75, 80: 0.78, 90: 0.82, 105: 0.85, 125: 0.89}
# The same, note 2 (read): fewest and most loaded conductors together, factor.
BOAT_TOGETHER = [(3, 3, 0.70), (4, 6, 0.60), (7, 24, 0.50), (25, 60, 0.40)]

# IEC 60364-5-52, method F, three touching loaded single cores in free air, copper, 90 degC, as
# printed in a public manual (read): mm2, then amps in air of 30, 40, 45, 50 and 55 degC. Ohm per
# km at 20 degC (IEC 60228 class 2) and outside diameter in mm are from memory.
IEC_METHOD_F = [
    (25, (135, 123, 117, 110, 103), 0.727, 9.7),
    (35, (169, 154, 147, 139, 128), 0.524, 10.9),
    (50, (207, 188, 180, 170, 157), 0.387, 12.8),
    (70, (268, 244, 233, 220, 204), 0.268, 14.6),
]
IEC_METHOD_F_AMBIENTS_C = (30.0, 40.0, 45.0, 50.0, 55.0)


def gauge_mm2(gauge):
    """Area of a gauge number by ASTM B258; 0, -1 for 1/0, 2/0."""
    return math.pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2


def boat_cable(gauge, outside_mm):
    """Annealed copper (IEC 60028, memory) with 3 percent for the lay, by ASTM B258."""
    area = gauge_mm2(gauge)
    return Conductor(f"AWG {gauge}", area, 0.017241 * 1.03 / area, outside_mm, 0.01, "computed")


AIRCRAFT = WireFamily(
    "aircraft",
    "Tin-plated copper",
    150.0,
    tuple(conductor(row) for row in TABLE_11_9),
    "FAA AC 43.13-1B, table 11-9",
    150.0,
    150.0,
)
