"""What data sheets and handbooks say that no description repeats."""

from __future__ import annotations

OHM_PER_M = {
    "0.22 mm2": 0.0848,
    "0.35 mm2": 0.0544,
    "0.5 mm2": 0.0390,
    "0.75 mm2": 0.0260,
    "1 mm2": 0.0195,
    "1.5 mm2": 0.0133,
    "2.5 mm2": 0.00798,
    "4 mm2": 0.00495,
    "6 mm2": 0.00330,
    "10 mm2": 0.00191,
    "16 mm2": 0.00121,
    "25 mm2": 0.000780,
    "35 mm2": 0.000554,
    "50 mm2": 0.000386,
    "70 mm2": 0.000272,
    "95 mm2": 0.000206,
}
"""Largest resistance at 20 degC: IEC 60228 class 5 (read); below 0.5 mm2 ISO 6722-1 (memory)."""

RESISTIVITY = 0.017241
"""Of annealed copper at 20 degC, ohm mm2 per metre (IEC 60028, memory)."""
STRANDING = 1.02
"""Strands are that much longer than the wire (memory)."""

CONTACT_OHM = {
    "pin-0.64": 0.010,
    "pin-1.5": 0.006,
    "pin-2.8": 0.004,
    "blade-2.8": 0.005,
    "blade-4.8": 0.004,
    "blade-6.3": 0.003,
    "blade-9.5": 0.002,
    "size-22D": 0.012,
    "size-20": 0.008,
    "size-16": 0.005,
    "size-12": 0.003,
    "ring-M4": 0.0006,
    "ring-M5": 0.0005,
    "ring-M6": 0.0004,
    "ring-M8": 0.0002,
    "ring-M10": 0.0002,
}
"""Mated contact with its crimp (usual figures of makers' sheets, from memory)."""

SPLICE_OHM = 0.0002
"""A sound crimp of a wire into a splice (memory)."""
SWITCH_OHM = 0.005
"""50 mV at 10 A (a relay maker's sheet, read)."""
POWER_CONTACT_V = 0.1
"""At the rating of an isolator or starter solenoid (memory)."""
OUTPUT_OHM = 0.05
"""A controller's output transistor (memory)."""
FUSE_V = 0.1
"""Of any fuse-link at rated current (ISO 8820-3 and others, memory)."""
COLLECTOR_V, COLLECTOR_OHM = 0.4, 1.0
"""Most that an open collector leaves on its pin, half of it usual (makers' sheets, memory)."""
SENSOR_OHM = 0.1
"""Behind a sensor's output voltage, where its sheet says nothing: nearly none."""
SHORTED_SENSOR_OHM = 250.0
"""The same with its wire on the body: its output then gives some 20 mA (makers' sheets, memory)."""
BAR_OHM = 0.0005
"""Of a bus bar or a controller's ground plane (memory)."""
JOINT_OHM = 0.002
"""Of a ground point's bolt (memory)."""
LEAK_OHM = 1e9
"""From every node, so that what floats has volts (the network's own convention)."""

CURRENT_EXPONENT = 0.55
"""Of a filament's current by its volts (Fink and Beaty, Standard Handbook for Electrical
Engineers; read from a public page)."""
COLD_SHARE = 1 / 14
"""Of a filament's ohms, when cold (tungsten at 2700 K, Jones and Langmuir, memory)."""
PULL_IN, DROP_OUT = 0.6, 0.3
"""Of a relay coil's nominal volts: 60 percent (makers' sheets, read); let go at half of that."""
LAYER_F = 0.5
"""Of a battery's plates, far less than there is (farads to tens of them, memory), so that it comes
to rest in the time that is simulated."""
CUT_OUT_BACK_A = 4.0
"""Current back into a dynamo at which its cut-out opens (workshop manuals, memory: 3 to 5)."""
START_TIMES = 5.0
"""Stall current of a small motor in running currents (memory: three to eight)."""
STEADY_TORQUE = {"fan": 0.1, "pump": 0.7, None: 0.5}
"""Share of a load's torque that does not fall with speed (memory)."""


def ohm_per_m(size: str) -> float:
    """At 20 degC; gauges by ASTM B258 and the resistivity of copper."""
    if size in OHM_PER_M:
        return OHM_PER_M[size]
    gauge = size.removeprefix("AWG ")
    number = 1 - int(gauge[:-2]) if gauge.endswith("/0") else int(gauge)
    diameter_mm = 0.127 * 92 ** ((36 - number) / 39)
    return RESISTIVITY * STRANDING / (3.141592653589793 / 4 * diameter_mm**2)


def warm(ohms: float, celsius: float) -> float:
    """At another temperature: copper's resistance would vanish at -234.5 degC (IEC 60228)."""
    return ohms * (234.5 + celsius) / 254.5
