"""Rows about wires: as laid, as cut, their lengths, splices, labels, and pins of connectors."""

from __future__ import annotations

from typing import Any

from buildbook.bench.build_sheet import build_sheet
from buildbook.figures import whole_mm
from buildbook.result import Result
from buildbook.sizing.stage import in_its_language


def wire_rows(result: Result) -> list[dict[str, Any]]:
    """One row a wire: ends, colour, size, cut length, harness, fuse, current, limit."""
    rows = []
    for wire in result.harness.wires.values():
        size = result.sizing.wires[wire.id]
        rows.append(
            {
                "id": wire.id,
                "circuit": wire.circuit,
                "from": wire.a.node,
                "to": wire.b.node,
                "from_contact": wire.a.contact,
                "to_contact": wire.b.contact,
                "colour": wire.colour,
                "family": size.family,
                "size": size.label,
                "cut_length_m": whole_mm(wire.cut_m) / 1000,
                "harness": wire.harness,
                "fuse": size.fuse,
                "current_a": round(size.current_a, 3),
                "state": size.state,
                "drop_v": round(size.drop_v, 4),
                "conductor_c": round(size.conductor_c, 1),
                "governing": size.governing,
                "cable": wire.cable,
                "path": " ".join(wire.points),
            }
        )
    return rows


def cut_rows(result: Result) -> list[dict[str, Any]]:
    """Wires in the order they are cut: family, colour, size, longest first."""
    keep = ("harness", "family", "size", "colour", "id", "cut_length_m", "from", "to", "cable")
    areas = {wire: size.area_mm2 for wire, size in result.sizing.wires.items()}
    rows = sorted(
        wire_rows(result),
        key=lambda r: (
            r["harness"],
            r["family"],
            areas[r["id"]],
            r["colour"],
            -r["cut_length_m"],
            r["id"],
        ),
    )
    return [{key: row[key] for key in keep} for row in rows]


def length_rows(result: Result) -> list[dict[str, Any]]:
    """One row an addend of a cut length."""
    return [
        {"wire": wire.id, "kind": part.kind, "what": part.what, "length_m": round(part.length_m, 4)}
        for wire in result.harness.wires.values()
        for part in wire.addends
    ]


def splice_rows(result: Result) -> list[dict[str, Any]]:
    """One row a splice: where it lies, what it joins, and its barrel and sleeve."""
    rows = []
    for splice in result.harness.splices.values():
        joint = result.joints[splice.id]
        rows.append(
            {
                "id": splice.id,
                "circuit": splice.circuit,
                "harness": splice.harness,
                "point": splice.point,
                "run": splice.run,
                "offset_m": splice.offset_m,
                "wires": " ".join(splice.wires),
                "kind": joint.kind,
                "one_side": " ".join(joint.near),
                "other_side": " ".join(joint.far),
                "copper_mm2": round(joint.copper_mm2, 3),
                "barrel": joint.barrel.title if joint.barrel else "",
                "sleeve": joint.sleeve.title if joint.sleeve else "",
                "sleeve_mm": joint.sleeve_mm,
                "first_on_thin_side": joint.under.title if joint.under else "",
            }
        )
    return rows


@in_its_language
def label_rows(result: Result) -> list[dict[str, Any]]:
    """One row a label, as a label printer takes them and the book shows them: wires' ends, then
    connectors."""
    rows = []
    for harness in result.vehicle.description.rope:
        sheet = build_sheet(
            result.vehicle, result.harness, result.sizing, result.finished_runs, harness
        )
        for label in sheet.labels:
            rows.append(
                {
                    "harness": harness,
                    "of": "wire",
                    "id": label.wire.id,
                    "end": label.end,
                    "text": label.text,
                    "sleeve": label.sleeve,
                }
            )
        for plug in sheet.terminations:
            if plug.connector:
                rows.append(
                    {
                        "harness": harness,
                        "of": "connector",
                        "id": plug.name,
                        "end": "",
                        "text": plug.name,
                        "sleeve": "",
                    }
                )
    return rows


def connector_rows(result: Result) -> list[dict[str, Any]]:
    """One row a cavity of every connector."""
    rows = []
    for connector in result.harness.connectors.values():
        for pin in connector.pins:
            wires = result.harness.wire_at.get(pin.id, ())
            rows.append(
                {
                    "connector": connector.id,
                    "type": connector.plug_type,
                    "cavity": pin.cavity or pin.name,
                    "pin": pin.id,
                    "use": pin.use,
                    "contact": pin.contact.id,
                    "wires": " ".join(wires),
                }
            )
    return rows
