"""Writes what was worked out as data: JSON, CSV tables, SVG drawings, simulator netlists."""

from __future__ import annotations

import csv
import io
import json
import math
import re
from collections.abc import Iterable, Mapping
from typing import Any

from buildbook.bench.sheet import build_sheet
from buildbook.checks.stages import Checked
from buildbook.drawing.shared.model import Drawing
from buildbook.electrical.netlist import netlist
from buildbook.electrical.ohmmeter import OPEN_OHMS
from buildbook.electrical.span import Span
from buildbook.faultfinding.model import Step
from buildbook.faultfinding.power_up import PowerUp
from buildbook.parts.model import Bill
from buildbook.result import Priced, Result


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
                "cut_length_m": round(wire.cut_m, 3),
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


def label_rows(result: Result) -> list[dict[str, Any]]:
    """One row a label, as a label printer takes them: wires' ends, then connectors."""
    rows = []
    for harness in result.vehicle.description.rope:
        sheet = build_sheet(result.vehicle, result.harness, result.sizing, result.dressed, harness)
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


def fuse_rows(result: Result) -> list[dict[str, Any]]:
    """One row a fuse: rating, load, the weakest wire behind it, what it feeds."""
    return [
        {
            "fuse": fuse.fuse,
            "rating_a": fuse.rating_a,
            "colour": fuse.colour,
            "load_a": round(fuse.load_a, 3),
            "state": fuse.state,
            "weakest_wire": fuse.weakest_wire,
            "weakest_wire_stands_a": round(fuse.weakest_a, 2),
            "governing": fuse.governing,
            "feeds": " ".join(fuse.feeds),
        }
        for fuse in result.sizing.fuses.values()
    ]


def part_rows(priced: Priced) -> list[dict[str, Any]]:
    """One row a line of the bill; a missing price stays empty."""
    return [
        {
            "need": line.need.key,
            "what": line.what,
            "quantity": round(line.need.quantity, 3),
            "spare": line.need.spare,
            "carried": line.need.carried,
            "owned": line.owned,
            "unit": line.need.unit,
            "part": line.part,
            "in_place_of": line.in_place_of,
            "supplier": line.supplier,
            "packs": line.packs,
            "pack": line.pack,
            "pack_price": "" if line.pack_price is None else str(line.pack_price),
            "currency": line.currency,
            "cost": "" if line.cost is None else str(line.cost),
            "price_of": line.dated.isoformat() if line.dated else "",
            "price_is_old": "yes" if line.old else "",
            "lead_days": "" if line.lead_days is None else line.lead_days,
            "used_by": " ".join(line.need.used_by),
        }
        for line in priced.bill.lines
    ]


def need_rows(bill: Bill) -> list[dict[str, Any]]:
    """One row a need: what goes into the vehicle, and what is bought beside it."""
    return [
        {
            "need": need.key,
            "quantity": need.quantity,
            "spare": need.spare,
            "carried": need.carried,
            "unit": need.unit,
        }
        for need in bill.needs
    ]


def cutting_rows(bill: Bill) -> list[dict[str, Any]]:
    """One row a piece: the reel or owned length it is cut from, and where on it."""
    return [
        {
            "wire": plan.key,
            "part": plan.part,
            "from": source.name,
            "from_length_m": source.length_m,
            "piece": cut.piece,
            "harness": cut.harness,
            "start_m": round(cut.start_m, 3),
            "cut_length_m": round(cut.length_m, 3),
            "left_m": round(source.left_m, 3),
        }
        for plan in bill.plans
        for source in plan.sources
        for cut in source.cuts
    ]


def order_rows(bill: Bill) -> list[dict[str, Any]]:
    """One row an order: its sums in its own currency and its total in the vehicle's."""
    return [
        {
            "supplier": order.supplier,
            "lines": len(order.lines),
            "without_price": order.unpriced,
            "currency": order.currency,
            "net": str(order.asked.net),
            "carriage": str(order.asked.carriage),
            "tax": str(order.asked.tax),
            "total": str(order.asked.total),
            "total_home": str(order.home.total),
            "lead_days": "" if order.lead_days is None else order.lead_days,
        }
        for order in bill.orders
    ]


def bill_data(bill: Bill) -> dict[str, Any]:
    """Everything about buying as one JSON object."""
    return {
        "currency": bill.currency,
        "net": str(bill.net),
        "carriage": str(bill.carriage),
        "tax": str(bill.tax),
        "total": str(bill.total),
        "least_total_proven": bill.least,
        "by_kind": {key: str(value) for key, value in bill.by_kind.items()},
        "by_system": {key: str(value) for key, value in bill.by_system.items()},
        "by_harness": {key: str(value) for key, value in bill.by_harness.items()},
        "orders": order_rows(bill),
        "needs": need_rows(bill),
        "cutting": cutting_rows(bill),
        "stock": [
            {"part": s.part, "there": s.there, "taken": s.taken, "unit": s.unit} for s in bill.stock
        ],
        "spares_box": [
            {
                "what": c.what,
                "part": c.part,
                "quantity": c.quantity,
                "cost": "" if c.cost is None else str(c.cost),
            }
            for c in bill.spares_box
        ],
        "missing_prices": list(bill.missing),
        "unserved": dict(bill.unserved),
    }


def fault_rows(result: Result) -> list[dict[str, Any]]:
    """One row an effect of a fault on a load in a state; silent faults have one bare row."""
    rows = []
    for fault in result.faultfinding.faults.values():
        base = {"fault": fault.id, "title": fault.title}
        effects = result.faultfinding.effects.get(fault.id, ())
        for effect in effects:
            rows.append(
                base
                | {
                    "state": effect.state,
                    "load": effect.load,
                    "effect": effect.effect,
                    "volts": round(effect.volts, 3),
                    "healthy_volts": round(effect.healthy_v, 3),
                }
            )
        if not effects:
            rows.append(
                base | {"state": "", "load": "", "effect": "none", "volts": "", "healthy_volts": ""}
            )
    return rows


def finding_rows(checked: Checked) -> list[dict[str, Any]]:
    """One row a finding, waived ones included."""
    return [
        {
            "rule": finding.rule,
            "severity": finding.severity,
            "about": finding.about,
            "text": finding.text,
            "remedy": finding.remedy,
            "source": finding.source,
            "where": str(finding.where),
            "waived": finding.waived,
        }
        for finding in checked.findings
    ]


def symptom_rows(result: Result) -> list[dict[str, Any]]:
    """Each symptom with what is seen, its suspects, and its measurements depth first."""
    return [
        {
            "id": symptom.id,
            "title": symptom.title,
            "look_in": symptom.state,
            "seen": [[e.load, e.state, e.effect] for e in symptom.effects],
            "blows": list(symptom.blows),
            "blows_in": list(symptom.blows_in),
            "burns": symptom.burns,
            "suspects": list(symptom.suspects),
            "called": symptom.called,
            "steps": step_rows(symptom.steps),
        }
        for symptom in result.faultfinding.symptoms
    ]


def step_rows(steps: Iterable[Step]) -> list[dict[str, Any]]:
    """Measurements depth first, with the suspects that each reading leaves."""
    return [
        {
            "node": s.node,
            "state": s.state,
            "measure": s.what,
            "other": s.other,
            "low": s.low_v,
            "high": s.high_v,
            "low_suspects": list(s.low),
            "high_suspects": list(s.high),
        }
        for s in steps
    ]


def said_rows(result: Result) -> list[dict[str, Any]]:
    """What drivers say, in the author's words: leads best first, readings, other causes."""
    return [
        {
            "name": named.name,
            "about": named.about,
            "looks": [
                {
                    "leads": [
                        {
                            "symptom": lead.symptom,
                            "share": round(lead.share, 4),
                            "beside": lead.beside,
                            "suspects": list(lead.faults),
                        }
                        for lead in look.leads
                    ],
                    "less_likely": look.others,
                    "steps": step_rows(look.steps),
                }
                for look in named.looks
            ],
            "not_electrical": [
                {"what": c.what, "check": c.check, "likely": c.likely, "weight": c.weight}
                for c in named.causes
            ],
        }
        for named in result.faultfinding.named
    ]


def silent_fault_rows(result: Result) -> list[dict[str, str]]:
    """Faults that nobody sees: the reason, and a test that finds each."""
    return [{"fault": s.fault, "why": s.why, "test": s.test} for s in result.faultfinding.unseen]


def sensor_rows(result: Result) -> list[dict[str, Any]]:
    """One row a reading of a sensor: where the meter goes, and what it shows, low to high."""
    return [
        {
            "device": table.device,
            "pin": table.pin,
            "meter_plus": table.meter_pin,
            "meter_minus": table.minus_pin,
            "characteristic": table.law,
            "state": table.state,
            "when": row.when,
            **_span("unplugged_ohm", row.ohms),
            **_span("volts", row.volts),
            "alternating": row.alternating,
            "level": row.level,
        }
        for table in result.sensors.tables
        for row in table.rows
    ]


def _span(name: str, span: Span | None) -> dict[str, Any]:
    ends = ("low", "nominal", "high")
    return {f"{name}_{end}": round(getattr(span, end), 4) if span else "" for end in ends}


def pair_rows(result: Result) -> list[dict[str, Any]]:
    """One row a position of a double track: both tracks, and their sum or ratio."""
    return [
        {
            "device": pair.device,
            "tracks": " ".join(pair.tracks),
            "what": pair.what,
            "wanted": pair.wanted,
            "within": pair.within,
            "when": row.when,
            **_span("first_v", row.first_v),
            **_span("second_v", row.second_v),
            **_span("together", row.together),
            "agrees": pair.agrees,
        }
        for pair in result.sensors.pairs
        for row in pair.rows
    ]


def supply_rows(result: Result) -> list[dict[str, Any]]:
    """One row a state: what loads, alternator and battery do, and how long the battery lasts."""
    return [
        {
            "state": b.state,
            "engine_rpm": b.engine_rpm,
            "demand_a": round(b.demand_a, 4),
            "alternator_a": round(b.alternator_a, 4),
            "alternator_limit_a": round(b.limit_a, 4),
            "spare_a": round(b.spare_a, 4),
            "charging_a": round(b.charging_a, 4),
            "battery_v": round(b.battery_v, 4),
            "hours_to_last_start": _hours(b.last_start_h),
            "hours_to_flat": _hours(b.flat_h),
            "hours_to_recharge": _hours(b.recharge_h),
        }
        for b in result.supply.balances
    ]


def _hours(value: float | None) -> float | str:
    return "" if value is None or math.isinf(value) else round(value, 4)


def cranking_rows(result: Result) -> list[dict[str, Any]]:
    """One row a starter or controller in a cranking state: its volts and what it works from."""
    return [
        {
            "state": cranking.state,
            "device": fed.device,
            "meter_plus": fed.plus_pin,
            "meter_minus": fed.minus_pin,
            "volts": round(fed.volts, 4),
            "works_from_v": fed.works_from_v,
            "battery_v": round(cranking.battery_v, 4),
            "battery_a": round(cranking.battery_a, 3),
        }
        for cranking in result.supply.cranking
        for fed in (*cranking.starters, *cranking.controllers)
    ]


def results(result: Result) -> dict[str, Any]:
    """Everything as one JSON object, sorted and stable."""
    written = result.vehicle.description.vehicle
    return {
        "vehicle": {
            "name": written.name,
            "revision": written.revision,
            "date": written.date.isoformat(),
        },
        "wires": wire_rows(result),
        "lengths": length_rows(result),
        "splices": [row | {"wires": row["wires"].split()} for row in splice_rows(result)],
        "fuses": fuse_rows(result),
        "states": {
            state: {
                "node_volts": {n: round(v, 6) for n, v in sorted(solution.volts.items())},
                "closed_contacts": sorted(solution.closed),
                "charging_a": round(solution.charging_a, 4),
                "alternator_a": round(solution.alternator_a, 4),
            }
            for state, solution in result.solved.meter.items()
        },
        "supply": supply_rows(result),
        "day_a": None if result.supply.day_a is None else round(result.supply.day_a, 4),
        "cranking": cranking_rows(result),
        "power_up": power_up_data(result.power_up),
        "symptoms": symptom_rows(result),
        "said": said_rows(result),
        "silent_faults": silent_fault_rows(result),
        "sensors": sensor_rows(result),
        "sensor_pairs": pair_rows(result),
        "connectors": connector_rows(result),
        "parts": part_rows(result),
        "buying": bill_data(result.bill),
        "total": str(result.bill.total),
        "missing_prices": list(result.bill.missing),
        "currency": result.bill.currency,
        "findings": finding_rows(result),
    }


def power_up_data(sequence: PowerUp) -> dict[str, Any]:
    """First power-up: ohms with the fuses out (null is open), then a row a fuse in its order."""

    def ohms(value: float) -> float | None:
        return None if value >= OPEN_OHMS else round(value, 4)

    return {
        "rest": sequence.rest,
        "main": {"pin": sequence.main.pin, "ohms": ohms(sequence.main.ohms)},
        "grounds": [{"pin": check.pin, "ohms": ohms(check.ohms)} for check in sequence.grounds],
        "feeds": [
            {
                "fuse": check.fuse,
                "ohms": ohms(check.ohms),
                "least_ohms": ohms(check.least_ohms),
                "state": check.state,
            }
            for check in sequence.feeds
        ],
        "steps": [
            {
                "fuse": step.fuse,
                "after": list(step.waits_for),
                "rest_a": round(step.rest_a, 4),
                "state": step.state,
                "engine_still": step.stopped,
                "fuse_a": round(step.fuse_a, 4),
                "volts": round(step.volts, 3),
                "battery_a": round(step.battery_a, 4),
                "full_feed": step.past_limiter,
                "wakes": list(step.wakes),
            }
            for step in sequence.steps
        ],
    }


def table(rows: Iterable[Mapping[str, Any]]) -> str:
    """Rows as CSV text with a header line."""
    rows = list(rows)
    text = io.StringIO()
    writer = csv.DictWriter(text, fieldnames=list(rows[0]) if rows else [], lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def file_name(text: str) -> str:
    """`text` with what a file name cannot hold replaced."""
    return re.sub(r"[^A-Za-z0-9._+-]+", "-", text).strip("-")


def export_files(result: Result, drawings: Iterable[Drawing]) -> dict[str, str]:
    """Relative path -> content of every exported file."""
    files = {
        "results.json": json.dumps(results(result), indent=1, ensure_ascii=False) + "\n",
        "wires.csv": table(wire_rows(result)),
        "cut-list.csv": table(cut_rows(result)),
        "lengths.csv": table(length_rows(result)),
        "splices.csv": table(splice_rows(result)),
        "labels.csv": table(label_rows(result)),
        "connectors.csv": table(connector_rows(result)),
        "parts.csv": table(part_rows(result)),
        "cutting.csv": table(cutting_rows(result.bill)),
        "needs.csv": table(need_rows(result.bill)),
        "orders.csv": table(order_rows(result.bill)),
        "fuses.csv": table(fuse_rows(result)),
        "faults.csv": table(fault_rows(result)),
        "sensors.csv": table(sensor_rows(result)),
        "supply.csv": table(supply_rows(result)),
    }
    for state, solution in result.solved.meter.items():
        files[f"network/{file_name(state)}.cir"] = netlist(solution)
    for drawing in drawings:
        files[f"drawings/{file_name(drawing.name)}.svg"] = drawing.svg
    return files
