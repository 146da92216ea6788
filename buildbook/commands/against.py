"""Two ways to build a vehicle side by side, as `buildbook show --against` prints them."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import click

from buildbook.checks.model import count_by_severity
from buildbook.commands.bill_text import aligned
from buildbook.commands.print_messages import Unclear, priced, say, visible
from buildbook.description.variants import AS_WRITTEN
from buildbook.figures import FOOT_M, Units, counted, squared
from buildbook.parts.comparison import VariantFigures, variant_figures
from buildbook.parts.differences import Differences, Drop, differences
from buildbook.result import Priced
from buildbook.vehicle.model import Run

MOST_DROPS = 6
"""Loads whose drop is told without --all."""


def show_against(
    folder: Path, variant: str | None, against: str, everything: bool, form: str
) -> None:
    """Work both out and print what differs; on problems of one prints them and ends with 1."""
    now = priced(folder, variant)
    name = now.vehicle.description.vehicle.variant or AS_WRITTEN
    if name == against:
        raise Unclear(
            f"--against {against}: that is what is shown",
            "name another variant with --variant or --against; 'as written' is without any",
            "nothing could differ",
        )
    say(f"The same {'' if against == AS_WRITTEN else 'as '}{against}")
    before = priced(folder, against)
    sides = [_figures(against, before), _figures(name, now)]
    found = differences(before, now)
    if form == "json":
        click.echo(json.dumps(_as_data(sides, found), indent=1, ensure_ascii=False))
        return
    units = now.vehicle.measures
    click.echo(f"{now.vehicle.description.vehicle.name}: {against} and {name}")
    for line in (
        *_table(sides, found, units),
        *_drops_told(sides, found, everything),
        *_told(found, units, everything),
    ):
        click.echo(visible(line))


def _figures(name: str, of: Priced) -> VariantFigures:
    found = count_by_severity(of.findings)
    return variant_figures(name, of.vehicle, of.harness, of.sizing, of.bill, found)


def _table(sides: Sequence[VariantFigures], found: Differences, units: Units) -> Iterator[str]:
    """Figures of both, and by how much the second is more."""
    old, new = sides
    rows = [["", old.name, new.name, "more by"]]
    for size, (was, now) in found.wire_mm.items():
        rows.append(_wire_row(f"Wire {squared(size)}", was, now, units))
    was, now = (sum(mm[side] for mm in found.wire_mm.values()) for side in (0, 1))
    rows += [
        _wire_row("All wire", was, now, units),
        _row("Copper in it, kg", *found.copper_kg, 3),
        _row("Wire with insulation, kg", old.wire_kg, new.wire_kg, 3),
        _row("Crimps", old.crimps, new.crimps, 0),
        _row("Connectors", old.connectors, new.connectors, 0),
        _row(f"Net, {new.currency}", float(old.net), float(new.net), 2),
        _row(f"With carriage and tax, {new.currency}", float(old.total), float(new.total), 2),
        _row("Needs without a price", old.without_price, new.without_price, 0),
        _row("Findings: errors", old.errors, new.errors, 0),
        _row("Findings: warnings", old.warnings, new.warnings, 0),
    ]
    yield from aligned(rows)


def _drops_told(
    sides: Sequence[VariantFigures], found: Differences, everything: bool
) -> Iterator[str]:
    """The drops that are worst or change most; how many more there are."""
    shown = found.drops if everything else found.drops[:MOST_DROPS]
    yield ""
    yield "Volts lost of those allowed, worst first"
    yield from aligned([["", *(s.name for s in sides), "more by"], *map(_drop_row, shown)])
    if more := len(found.drops) - len(shown):
        yield f"  and {counted(more, 'load')} whose drop changes: --all tells them"


def _wire_row(title: str, was_mm: int, now_mm: int, units: Units) -> list[str]:
    """Lengths as wire is bought, in metres or feet."""
    one_m = FOOT_M if units.inches else 1.0
    was, now = (mm / 1000 / one_m for mm in (was_mm, now_mm))
    return _row(f"{title}, {units.long}", was, now, 3)


def _row(title: str, was: float, now: float, digits: int) -> list[str]:
    more = now - was
    told = f"{more:+.{digits}f}" if round(more, digits) else "–"
    return [title, f"{was:.{digits}f}", f"{now:.{digits}f}", told]


def _drop_row(pair: tuple[Drop | None, Drop | None]) -> list[str]:
    old, new = pair
    last = new or old
    assert last is not None
    states = dict.fromkeys(drop.state for drop in pair if drop)
    more = f"{new.lost_v - old.lost_v:+.3f}" if old and new else ""
    return [f"{last.load}, {' / '.join(states)}", _lost(old), _lost(new), more]


def _lost(drop: Drop | None) -> str:
    return f"{drop.lost_v:.3f} of {drop.allowed_v:.2f} V" if drop else "–"


def _told(found: Differences, units: Units, everything: bool) -> Iterator[str]:
    """What changes in words, and what is to be measured."""
    lines = found.all_changes if everything else found.changes
    yield ""
    yield "What changes" if lines else "No size, fuse or device changes"
    yield from (f"  {squared(line)}" for line in lines)
    if found.other_lengths and not everything:
        lengths = counted(found.other_lengths, "wire")
        yield f"  and {lengths} of another length: --all tells them, with splices that move"
    if found.rope_gone:
        yield "Rope that falls away"
        yield from (f"  {_run(run)}, {units.typed(run.length_m)}" for run in found.rope_gone)
    if found.to_measure:
        yield "To be measured; until then an estimate from the plan"
        for run in found.to_measure:
            yield f"  {_run(run)}, {units.typed(run.length_m)} (zone {run.zone})"
    for point, names in found.left_behind.items():
        yield f"At {point} stay {', '.join(names)}: move them too where they are meant to go along"


def _run(run: Run) -> str:
    return f"{run.harness}: {run.from_point} to {run.to_point}"


def _as_data(sides: Sequence[VariantFigures], found: Differences) -> dict[str, Any]:
    old, new = sides
    return {
        "before": old.name,
        "now": new.name,
        "wire_m": {size: [was / 1000, now / 1000] for size, (was, now) in found.wire_mm.items()},
        "copper_kg": [round(kg, 4) for kg in found.copper_kg],
        "wire_kg": [round(side.wire_kg, 4) for side in sides],
        "net": [str(side.net) for side in sides],
        "total": [str(side.total) for side in sides],
        "currency": new.currency,
        "findings": [{"errors": s.errors, "warnings": s.warnings, "notes": s.notes} for s in sides],
        "drops": [
            {"load": last.load, "before": _drop(old_drop), "now": _drop(new_drop)}
            for old_drop, new_drop in found.drops
            if (last := new_drop or old_drop)
        ],
        "changes": list(found.all_changes),
        "to_measure": [_run_data(run) for run in found.to_measure],
        "rope_gone": [_run_data(run) for run in found.rope_gone],
        "left_behind": {point: list(names) for point, names in found.left_behind.items()},
    }


def _drop(drop: Drop | None) -> dict[str, Any] | None:
    if drop is None:
        return None
    volts = {"lost_v": round(drop.lost_v, 4), "allowed_v": round(drop.allowed_v, 4)}
    return {"state": drop.state, **volts}


def _run_data(run: Run) -> dict[str, Any]:
    ends = {"harness": run.harness, "from": run.from_point, "to": run.to_point}
    return {**ends, "length_m": run.length_m, "zone": run.zone}
