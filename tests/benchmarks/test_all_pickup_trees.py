"""Every fault of the pickups, injectors and coils of the example; minutes, on request."""

from __future__ import annotations

import pytest

from tests.faultfinding.test_pickup_trees import faults_of, lost

DEVICES = (
    ["crank-sensor", "cam-sensor", "speed-sensor"]
    + [f"injector-{n}" for n in range(1, 6)]
    + [f"coil-{n}" for n in range(1, 6)]
)


@pytest.mark.parametrize("device", DEVICES)
def test_the_trees_lead_to_all_opens_and_shorts_and_nearly_all_joints(lapwing, device, tmp_path):
    faults = faults_of(lapwing, device)
    sure = [f for f in faults if f.mode in ("open", "short")]
    joints = [f for f in faults if f.mode == "resistive"]
    astray = lost(lapwing, joints, tmp_path)
    print(f"{device}: {len(sure)} opens and shorts, {len(joints)} joints, lost {astray}")
    assert not lost(lapwing, sure, tmp_path)
    assert len({f for f, _ in astray}) <= 0.05 * len(joints)
