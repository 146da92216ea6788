"""From how many volts a load works, where nobody says so: three quarters of what it is given."""

from __future__ import annotations

import pytest

from buildbook.description.read import read_folder
from buildbook.vehicle.join import join
from tests.description.short import DEVICES, folder

WIRED = """plugs: {p: {contact: pin-1.5, rows: [["1", "2", "3", "4"]]}}
devices:
  ecu: {kind: controller, at: tail, plug: p, power: {feeds: 1, grounds: 2},
    sources: {3: {volts: 5 V}}, inputs: {4: {pull up: 1 kohm, to: 5 V}}}
  hall: {kind: sensor, at: tail, contact: blade-6.3, pins: {1: a, 2: b}, draws: {ohms: 680 ohm}}
  ntc: {kind: sensor, at: tail, contact: blade-6.3, pins: {1: a, 2: b}, draws: {ohms: 1 kohm}}
  lamp: {kind: lamp, at: tail, contact: blade-6.3, pins: {1: a, 2: b}, draws: {amps: 1 A}}
circuits:
  feed: {join: [battery.+, panel.B, ecu.1, lamp.1], system: all}
  back: {join: [battery.-, G1, ecu.2, hall.2, ntc.2, lamp.2], system: all}
  five: {join: [ecu.3, hall.1], system: all}
  signal: {join: [ecu.4, ntc.1], system: all}
"""


@pytest.mark.parametrize("nominal", [12.0, 24.0])
def test_it_fits_what_feeds_it(tmp_path, nominal):
    made = folder(tmp_path, WIRED, DEVICES)
    main = made / "vehicle.yaml"
    main.write_text(main.read_text().replace("date:", f"nominal: {nominal:g} V, date:"))
    contents, problems = read_folder(made)
    assert contents is not None and not problems, problems
    vehicle, problems = join(contents)
    assert vehicle is not None and not problems, problems
    works_from = {
        name: vehicle.devices[name].loads[0].works_from_v for name in ("hall", "ntc", "lamp")
    }
    assert works_from["hall"] == pytest.approx(0.75 * 5.0)
    assert works_from["ntc"] == pytest.approx(0.75 * 2.5)  # 5 V halved by two resistors of 1 kohm
    assert works_from["lamp"] == pytest.approx(0.75 * nominal)
