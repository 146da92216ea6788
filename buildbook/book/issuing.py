"""A revision as it is issued: what it says, and each page of its book."""

from __future__ import annotations

from collections.abc import Sequence

from buildbook.book.effective import Effective, issued_chapters
from buildbook.book.render import Rendered
from buildbook.issued.model import Dated, Issued, Revision
from buildbook.result import Result
from buildbook.sizing.changes import changes
from buildbook.sizing.facts import facts_of
from buildbook.sizing.stage import in_its_language


@in_its_language
def revision_of(
    result: Result, chapters: Sequence[Rendered], effective: Effective, before: Issued
) -> Revision:
    """What is kept of a revision whose book is set, issued after those `before`."""
    vehicle, facts = result.vehicle.description.vehicle, facts_of(result)
    last = before.revisions[-1] if before.revisions else None
    dates = last.dates if last else {}
    return Revision(
        revision=vehicle.revision,
        date=vehicle.date,
        earlier=[Dated(revision=name, date=date) for name, date in dates.items()],
        changes=list(changes(last, facts)) if last else [],
        chapters=issued_chapters(chapters, effective),
        wires=facts.wires,
        splices=facts.splices,
        fuses=facts.fuses,
        devices=facts.devices,
    )
