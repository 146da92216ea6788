"""What a symptom may be called at the command line, in English and as the book prints it."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.book.symptom_headings import headings
from buildbook.faultfinding.diagnosis import FaultTable
from buildbook.faultfinding.entries import Said
from buildbook.faultfinding.faults import weight
from buildbook.faultfinding.find import symptoms_of
from buildbook.faultfinding.model import ComplaintPatterns, Symptom
from buildbook.words.say import ENGLISH, in_language

Likely = dict[str, float]
"""The faults that a name stands for, with their likelihood."""


def symptom_names(table: FaultTable) -> dict[str, Likely]:
    """All names, those in English first: what is typed in it is meant in it."""
    found = _names(table, *table.told)
    language = table.vehicle.language
    if language != ENGLISH:
        with in_language(language):
            told = symptoms_of(table.vehicle, table.harness, table.swept)
            found = {**_names(table, *told), **found}
    return found


def _names(
    table: FaultTable,
    symptoms: Sequence[Symptom],
    complaints: Sequence[ComplaintPatterns],
    lines: Sequence[Said],
) -> dict[str, Likely]:
    fault_of = {fault.id: fault for fault in table.swept.faults}
    called = {line.name: line.likely for line in lines}
    for named in complaints:
        leads = [lead for pattern in named.patterns for lead in pattern.leads]
        likely = {f: weight(fault_of[f], lead.beside) for lead in leads for f in lead.faults}
        called.setdefault(named.name, likely)
    suspected = {s.id: {f: weight(fault_of[f]) for f in s.suspects} for s in symptoms}
    # What the book prints goes first: its heading of one may be the whole title of another.
    printed = headings(table, symptoms)
    for texts in (printed, {s.id: s.id for s in symptoms}, {s.id: s.title for s in symptoms}):
        for name, likely in suspected.items():
            called.setdefault(texts[name], likely)
    return called
