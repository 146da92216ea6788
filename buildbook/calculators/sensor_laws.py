"""The types of sensor that can be worked out, each with its law."""

from __future__ import annotations

from buildbook.calculators.sensor_input import Law
from buildbook.calculators.signal_sensors import current, hall, inductive, sender, switch, volts
from buildbook.calculators.temperature_sensors import ntc, platinum_law
from buildbook.description import models as written
from buildbook.description.models import Section


def _tolerance(model: type[Section]) -> float:
    share: float = model.model_fields["tolerance"].default
    return share


PULLED = frozenset({"pull-up", "pull-up-tolerance", "to", "lead", "supply-tolerance"})
LAWS: dict[str, Law] = {
    "ntc": Law(
        "a thermistor",
        (),
        "--ohms 2.2 kohm --beta 3435 K",
        PULLED | {"points", "ohms", "ohms-at", "beta", "tolerance"},
        _tolerance(written.Thermistor),
        True,
        ntc,
    ),
    "platinum": Law(
        "as Pt100",
        (),
        "--ohms 100 ohm --at 100 degC",
        PULLED | {"ohms", "class"},
        0.0,
        True,
        platinum_law,
    ),
    "sender": Law(
        "ohms by points",
        ("points",),
        "--points 0 % 10 ohm, 100 % 180 ohm",
        PULLED | {"points", "tolerance"},
        _tolerance(written.Sender),
        True,
        sender,
    ),
    "volts": Law(
        "a voltage by points",
        ("points",),
        "--points 0 bar 0.5 V, 10 bar 4.5 V",
        PULLED | {"points", "tolerance", "of", "supply"},
        _tolerance(written.Output),
        False,
        volts,
    ),
    "current": Law(
        "a current by points",
        ("points",),
        "--points 0 bar 4 mA, 10 bar 20 mA",
        frozenset({"points", "tolerance", "into"}),
        _tolerance(written.CurrentOutput),
        False,
        current,
    ),
    "hall": Law(
        "an open collector", ("pull-up",), "--at on --pull-up 2.2 kohm", PULLED, 0.0, True, hall
    ),
    "inductive": Law(
        "coil and magnet",
        ("ohms",),
        "--ohms 800 ohm --at 600 rpm",
        frozenset({"ohms", "tolerance", "volts", "volts-at"}),
        _tolerance(written.Inductive),
        False,
        inductive,
    ),
    "switch": Law(
        "to ground", ("pull-up",), "--at closed --pull-up 1 kohm", PULLED, 0.0, True, switch
    ),
}
