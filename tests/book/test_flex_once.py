"""What stands beside each other is laid out for its place, not also to find its least."""

from __future__ import annotations

import re

import pytest

from buildbook.book.render import render
from tests.book.test_page_references import set_

__all__ = ["set_"]
BESIDE = (
    '<div class="beside"><div class="view" style="width: 40mm">face</div>'
    '<div class="pins" style="width: 90mm"><table><tr><td>1</td></tr></table></div></div>'
)


@pytest.mark.parametrize("unsized", [False, True])
def test_tables_beside_faces_are_not_measured_for_their_least(set_, monkeypatch, unsized):
    """The build sheets of the largest harness took half as long again."""
    from weasyprint.layout import flex

    jobs, _ = set_
    measured = []
    least = flex.min_content_width

    def noted(context, box, outer=True):
        measured.append(box)
        return least(context, box, outer)

    monkeypatch.setattr(flex, "min_content_width", noted)
    job = jobs["use"]
    style = "<style>.beside > * { min-width: auto }</style>" if unsized else ""
    html = re.sub("<body[^>]*>", lambda found: found[0] + style + BESIDE, job.html, count=1)
    render(type(job)(job.name, html, job.files, job.references))
    assert bool(measured) == unsized
