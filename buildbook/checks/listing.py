"""The list of rules in the README, made from the rules: `python -m buildbook.checks.listing`."""

from __future__ import annotations

import sys
from pathlib import Path

from buildbook.checks.registry import RULES, Registered

BEGIN, END = "<!-- rules: begin -->", "<!-- rules: end -->"


def table(rules: tuple[Registered, ...] = RULES) -> str:
    """A Markdown table: id, severity, what it finds, source."""
    cells = [(f"`{r.id}`", " or ".join(r.severities), what_it_finds(r), r.source) for r in rules]
    rows = [f"| {' | '.join(row)} |" for row in cells]
    return "\n".join(["| rule | severity | finds | source |", "| --- | --- | --- | --- |", *rows])


def renewed(text: str) -> str:
    """A text with the list between its marks made anew."""
    before, _, rest = text.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n\n{table()}\n\n{END}{after}"


def what_it_finds(rule: Registered) -> str:
    """'wires that the battery feeds with no fuse in between'."""
    return rule.finds.removeprefix("Finds ").removesuffix(".").replace("|", "/")


if __name__ == "__main__":
    for name in sys.argv[1:] or ["README.md"]:
        path = Path(name)
        path.write_text(renewed(path.read_text(encoding="utf-8")), encoding="utf-8")
