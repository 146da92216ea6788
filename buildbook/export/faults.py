"""Rows about faults: effects, symptoms with their measurements, what drivers say, silent ones."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from buildbook.faultfinding.model import Charging, Step
from buildbook.result import Result


def fault_rows(result: Result) -> list[dict[str, Any]]:
    """One row an effect of a fault on a load in a state; silent faults have one bare row."""
    rows = []
    for fault in result.faultfinding.faults.values():
        base: dict[str, Any] = {"fault": fault.id, "title": fault.title}
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


def symptom_rows(result: Result) -> list[dict[str, Any]]:
    """Each symptom with what is seen, its suspects, and its measurements depth first."""
    return [
        {
            "id": symptom.id,
            "title": symptom.title,
            "look_in": symptom.state,
            "seen": [[e.load, e.state, e.effect] for e in symptom.effects],
            "blows": list(symptom.blows),
            "trips": list(symptom.trips),
            "blows_in": list(symptom.blows_in),
            "burns": symptom.burns,
            "not_charged": [charging_row(c) for c in symptom.charging],
            "hot": symptom.hot,
            "suspects": list(symptom.suspects),
            "called": symptom.called,
            "steps": step_rows(symptom.steps),
        }
        for symptom in result.faultfinding.symptoms
    ]


def charging_row(charging: Charging) -> dict[str, Any]:
    """What a voltmeter shows while the engine runs on the battery alone, and for how long."""
    return {
        "state": charging.state,
        "battery_v": round(charging.battery_v, 2),
        "healthy_v": round(charging.healthy_v, 2),
        "drain_a": round(charging.drain_a, 1),
        "starts_for_h": round(charging.last_start_h, 2),
        "flat_after_h": round(charging.flat_h, 2),
    }


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
            "low_range": list(s.low_range or (s.low_v, s.low_v)),
            "high_range": list(s.high_range or (s.high_v, s.high_v)),
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
                for look in named.patterns
            ],
            "not_electrical": [
                {"what": c.what, "check": c.check, "likely": c.likely, "weight": c.weight}
                for c in named.causes
            ],
        }
        for named in result.faultfinding.complaints
    ]


def silent_fault_rows(result: Result) -> list[dict[str, str]]:
    """Faults that nobody sees: the reason, and a test that finds each."""
    return [{"fault": s.fault, "why": s.why, "test": s.test} for s in result.faultfinding.unseen]
