"""The list of rules as a Markdown table, made from the rules."""

from __future__ import annotations

from buildbook.checks.registry import RULES, Registered


def table(rules: tuple[Registered, ...] = RULES) -> str:
    """A Markdown table: id, severity, what it finds, source."""
    cells = [(f"`{r.id}`", " or ".join(r.severities), what_it_finds(r), r.source) for r in rules]
    rows = [f"| {' | '.join(row)} |" for row in cells]
    return "\n".join(["| rule | severity | finds | source |", "| --- | --- | --- | --- |", *rows])


def what_it_finds(rule: Registered) -> str:
    """'wires that the battery feeds with no fuse in between', in English."""
    return rule.finds.removeprefix("Finds ").removesuffix(".").replace("|", "/")
