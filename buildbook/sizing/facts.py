"""What somebody acts on in a vehicle, in the words that the book prints: to be issued, compared."""

from __future__ import annotations

from buildbook.figures import whole_mm
from buildbook.harness.model import Splice, Wire
from buildbook.issued.model import THE_TRUNK, Facts, IssuedDevice, IssuedSplice, IssuedWire
from buildbook.sizing.stage import Sized
from buildbook.vehicle.model import Device


def facts_of(sized: Sized) -> Facts:
    """Wires, splices, fuses and devices of a vehicle whose sizes are chosen."""
    vehicle, harness, sizing = sized.vehicle, sized.harness, sized.sizing
    return Facts(
        wires={id_: _wire(sized, wire) for id_, wire in harness.wires.items()},
        splices={id_: _splice(splice) for id_, splice in harness.splices.items()},
        fuses={name: f"{fuse.rating_a:g} A" for name, fuse in sizing.fuses.items()},
        devices={id_: _device(device) for id_, device in vehicle.devices.items()},
    )


def _wire(sized: Sized, wire: Wire) -> IssuedWire:
    """Its size, cut length and colour as the build sheets say them."""
    return IssuedWire(
        circuit=wire.circuit,
        from_=wire.a.node,
        to=wire.b.node,
        size=sized.sizing.wires[wire.id].label,
        length=f"{whole_mm(wire.cut_m)} mm",
        colour=wire.colour,
    )


def _splice(splice: Splice) -> IssuedSplice:
    """Its place in English whatever the book's language: revisions keep it to be compared."""
    off = f", {whole_mm(splice.offset_m)} mm along {splice.run or THE_TRUNK}"
    at = splice.point + (off if splice.offset_m else "")
    return IssuedSplice(circuit=splice.circuit, harness=splice.harness, at=at)


def _device(device: Device) -> IssuedDevice:
    slot = device.written.slot
    on_panel = f"{device.panel}{f' {slot}' if slot is not None else ''}" if device.panel else ""
    part = device.written.part
    return IssuedDevice(title=device.title, at=on_panel or device.point, part=part or None)
