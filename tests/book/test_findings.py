"""The chapter of findings says what to do; where the rules come from is for the auditor."""

from __future__ import annotations

from html import unescape

from buildbook.book.chapters import findings, silent_rules
from buildbook.figures import METRIC
from tests.book.chapter_words import words_of
from tests.once import undrawn


def test_the_source_of_every_rule_that_found_something_stands_in_the_workings(motorcycle):
    (chapter,) = silent_rules.chapters(motorcycle, undrawn(motorcycle))
    text = unescape(words_of(motorcycle, chapter))
    assert motorcycle.findings
    for found in motorcycle.findings:
        source = " ".join(METRIC.words(found.source).split())
        assert f"{found.rule} | {source} |" in text, found.rule


def test_the_book_tells_each_finding_with_its_remedy_and_counts_what_found_none(motorcycle):
    (chapter,) = findings.chapters(motorcycle, undrawn(motorcycle))
    text = unescape(words_of(motorcycle, chapter))
    assert "Errors: 0." in text
    warnings = [found for found in motorcycle.findings if found.severity == "warning"]
    assert f"Warnings: {len(warnings)} |" in text
    for found in motorcycle.findings:
        assert " ".join(METRIC.words(found.remedy).split()) in text
        assert found.source not in text
