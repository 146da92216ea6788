"""What was built as the text of `as-built.yaml`."""

from __future__ import annotations

import yaml

from buildbook.as_built.model import AsBuilt, BuiltCircuit

HEAD = """\
# What the harnesses were built with. `buildbook record` writes this file; later runs keep what
# it says, so that no label, colour, contact or splice changes under a helper's hands.
# A length or size that came out differently on the bench may be corrected here.
"""


def as_built_text(as_built: AsBuilt) -> str:
    """The text of `as-built.yaml`: what is the same gives the same bytes."""
    data = {
        "revision": as_built.revision,
        **({"date": as_built.date} if as_built.date else {}),
        "circuits": {name: _written(circuit) for name, circuit in as_built.circuits.items()},
    }
    text = yaml.safe_dump(
        data, sort_keys=False, allow_unicode=True, default_flow_style=None, width=1000
    )
    return HEAD + text


def _written(circuit: BuiltCircuit) -> dict[str, object]:
    made: dict[str, object] = {"number": circuit.number, "colour": circuit.colour}
    if circuit.pins:
        made["pins"] = {device: list(cavities) for device, cavities in circuit.pins.items()}
    if circuit.splices:
        made["splices"] = {
            id_: {"harness": s.harness, "at": s.at}
            | ({"run": s.run} if s.run else {})
            | ({"offset": _mm(s.offset)} if s.offset else {})
            for id_, s in circuit.splices.items()
        }
    made["wires"] = {
        id_: {
            "harness": wire.harness,
            "from": wire.from_,
            "to": wire.to,
            "family": wire.family,
            "size": wire.size.label,
            "length": _mm(wire.length),
        }
        for id_, wire in circuit.wires.items()
    }
    return made


def _mm(length_m: float) -> str:
    return f"{length_m * 1000:.0f} mm"
