"""What a trackside opening's steps are laid out by."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

from buildbook.book.opening import pocket_steps
from buildbook.book.pocket_step import BESIDE_PICTURE, PocketStep

PLAIN = PocketStep(1, "a", "", False, "off", None, "0.0 V", "» 2", "12.6 V", "» 3", "high")


def test_long_answers_go_below_each_other_beside_a_picture_of_the_step_before_too():
    long = replace(PLAIN, low_then="x" * BESIDE_PICTURE)
    assert not PLAIN.is_long and not replace(PLAIN, hung_into=True).is_long
    assert not long.is_long
    assert replace(long, hung_into=True).is_long
    assert replace(long, picture=cast(Any, "picture")).is_long


def test_a_high_picture_hangs_into_the_step_after_it(lapwing):
    steps = [pocket_steps(lapwing, entry) for entry in lapwing.faultfinding.entries]
    pairs = [pair for own in steps for pair in zip(own, own[1:], strict=False)]
    assert {after.hung_into for _, after in pairs} == {True, False}
    high = [bool(before.picture) and before.picture.height_mm > 10 for before, _ in pairs]
    assert [after.hung_into for _, after in pairs] == high
    assert not any(own[0].hung_into for own in steps if own)
