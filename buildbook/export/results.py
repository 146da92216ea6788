"""Everything as one JSON object, sorted and stable."""

from __future__ import annotations

from typing import Any

from buildbook.export.buying import bill_data, part_rows
from buildbook.export.faults import said_rows, silent_fault_rows, symptom_rows
from buildbook.export.findings import finding_rows
from buildbook.export.readings import pair_rows, reading_rows, sensor_rows
from buildbook.export.supply import (
    cranking_rows,
    fuse_rows,
    output_rows,
    power_up_data,
    supply_rows,
)
from buildbook.export.wires import connector_rows, length_rows, splice_rows, wire_rows
from buildbook.result import Result


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
        "outputs": output_rows(result),
        "states": {
            state: {
                "closed_contacts": sorted(solution.closed),
                "charging_a": round(solution.charging_a, 4),
                "alternator_a": round(solution.alternator_a, 4),
            }
            for state, solution in result.solved.meter.items()
        },
        "meter_readings": reading_rows(result),
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
