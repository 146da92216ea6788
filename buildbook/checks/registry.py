"""The rules in the order in which they run and are listed."""

from __future__ import annotations

from buildbook.checks.context import Rule
from buildbook.checks.rules import (
    as_built,
    can_termination,
    charging_balance,
    contact_overloaded,
    cranking_voltage,
    drop,
    feed_unfused,
    fuse_above_wire,
    fuse_below_load,
    like_connectors,
    load_idle,
    not_selective,
    part_missing,
    pin_undeclared,
    price_missing,
    price_old,
    screen_ground,
    splice_moving,
    suppression,
    temperature,
    terminal_overloaded,
    wet_connector,
)

RULES: tuple[Rule, ...] = (
    feed_unfused.check,
    fuse_above_wire.check,
    fuse_below_load.check,
    not_selective.check,
    drop.check,
    contact_overloaded.check,
    terminal_overloaded.check,
    cranking_voltage.check,
    charging_balance.check,
    load_idle.check,
    suppression.check,
    can_termination.check,
    screen_ground.check,
    temperature.check,
    wet_connector.check,
    splice_moving.check,
    like_connectors.check,
    pin_undeclared.check,
    part_missing.check,
    price_missing.check,
    price_old.check,
    as_built.check,
)
