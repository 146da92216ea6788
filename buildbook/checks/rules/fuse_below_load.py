"""Finds fuses that their own load would wear out or blow."""

from __future__ import annotations

from collections.abc import Iterator

from buildbook.catalogue.load import fuse_families
from buildbook.checks.context import Context
from buildbook.checks.model import Finding

RULE = "fuse-below-load"
SEVERITY = "error or warning"
SOURCE = "share of its rating that a fuse of its family carries for long (fuse catalogue)"


def check(context: Context) -> Iterator[Finding]:
    """A fuse carries at most its family's share of its rating for long."""
    for fuse_id, sized in context.sizing.fuses.items():
        device = context.vehicle.devices[fuse_id]
        family = fuse_families()[device.written.fuse]
        allowed = sized.rating_a * family.continuous_share
        if sized.load_a <= allowed + 1e-9:
            continue
        severity = "error" if sized.load_a > sized.rating_a else "warning"
        needed = sized.load_a / family.continuous_share
        yield Finding(
            RULE, severity, fuse_id,
            f"Fuse {fuse_id} of {sized.rating_a:g} A carries {sized.load_a:.1f} A in "
            f"'{sized.state}'; for long it should carry no more than {allowed:.1f} A.",
            f"Fit a fuse of {needed:.1f} A or more with wires to match, or split the load.",
            family.source, device.where,
        )  # fmt: skip
