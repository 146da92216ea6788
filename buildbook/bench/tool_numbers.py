"""The number of every tool, the same in every harness of the book: T1, T2, …"""

from __future__ import annotations

from collections.abc import Iterable

from buildbook.parts.model import Need
from buildbook.parts.tools import tools


def tool_numbers(needs: Iterable[Need]) -> dict[str, str]:
    """What a tool is -> its number, for all that the whole vehicle needs."""
    keys = sorted(need.key for need in needs)
    return {tool.what: f"T{n}" for n, tool in enumerate(tools(keys), start=1)}
