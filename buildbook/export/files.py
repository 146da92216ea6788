"""Every exported file: results as JSON, tables as CSV, netlists and drawings."""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.drawing.shared.model import Drawing
from buildbook.electrical.netlist import netlist
from buildbook.electrical.solve import network_of
from buildbook.export.buying import cutting_rows, need_rows, order_rows, part_rows
from buildbook.export.faults import fault_rows
from buildbook.export.readings import sensor_rows
from buildbook.export.results import results
from buildbook.export.supply import fuse_rows, supply_rows
from buildbook.export.tables import as_json, table
from buildbook.export.wires import (
    connector_rows,
    cut_rows,
    label_rows,
    length_rows,
    splice_rows,
    wire_rows,
)
from buildbook.files.names import file_names
from buildbook.result import Result
from buildbook.words.say import ENGLISH, in_language


def export_files(result: Result, drawings: Iterable[Drawing]) -> dict[str, str]:
    """Relative path -> content of every exported file; a number has its point in any language."""
    with in_language(ENGLISH):
        return _files(result, drawings)


def _files(result: Result, drawings: Iterable[Drawing]) -> dict[str, str]:
    files = {
        "results.json": as_json(results(result)),
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
    decks = netlists(result)
    for state, name in file_names(decks).items():
        files[f"network/{name}.cir"] = decks[state]
    drawn = [(drawing.name, drawing.svg) for drawing in drawings]
    names = file_names(name for name, _svg in drawn)
    files.update({f"drawings/{names[name]}.svg": svg for name, svg in drawn})
    return files


def netlists(result: Result) -> dict[str, str]:
    """State -> its netlist."""
    network = network_of(result.vehicle, result.harness, result.solved)
    return {
        state: netlist(network, state, solution.branches)
        for state, solution in result.solved.meter.items()
    }
