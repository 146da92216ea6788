"""What is wrong with a price list is told at its place."""

from __future__ import annotations

import pytest

from buildbook.description.read import read_folder
from buildbook.vehicle.join import join
from tests.conftest import TESTS

TWO_WIRE = (TESTS / "vehicles" / "two-wire" / "vehicle.yaml").read_text()


@pytest.mark.parametrize(
    ("more", "where", "says"),
    [
        (
            "suppliers:\n  s: {name: S, currency: GBP}\n",
            "prices.yaml:2:26",
            "no rate for the currency `GBP`",
        ),
        (
            "parts:\n  p: {what: P, price: 1, currency: SEK}\n",
            "prices.yaml:2:36",
            "no rate for the currency `SEK`",
        ),
        (
            "suppliers:\n  s: {name: S, free from: lots}\n",
            "prices.yaml:2:27",
            "`lots` is not an amount of money",
        ),
        (
            "suppliers:\n  s: {name: S, smallest order: -3}\n",
            "prices.yaml:2:32",
            "`-3` is not an amount of money",
        ),
        (
            "parts:\n  p: {what: P, price: 1, breaks: {5: cheap}}\n",
            "prices.yaml:2:38",
            "`cheap` is not an amount of money",
        ),
        (
            "parts:\n  p: {what: P, price: 1, breaks: {0: 1}}\n",
            "prices.yaml:2:38",
            "a price break from 0 packs",
        ),
        (
            "parts:\n  p: {what: P, breaks: {5: 1}}\n",
            "prices.yaml:2:16",
            "price breaks without a `price`",
        ),
        ("parts:\n  p: {what: P, substitutes: [q]}\n", "prices.yaml:2:30", "no part `q`"),
        (
            "parts:\n  p: {what: P, serves: wire thin-wall 1 mm2, owned: 8 m}\n",
            "prices.yaml:2:53",
            "an owned length of wire without its colour",
        ),
        ("parts:\n  p: {what: P, owned: a few}\n", "prices.yaml:2:23", "not a quantity"),
        ("parts:\n  p: {what: P, at least: 0}\n", "prices.yaml:2:26", "must be above zero"),
        ("parts:\n  p: {what: P, mass: 12 m}\n", "prices.yaml:2:22", "is not a unit that fits"),
    ],
)
def test_a_mistake_in_prices_names_its_place(tmp_path, more, where, says):
    (tmp_path / "vehicle.yaml").write_text(TWO_WIRE)
    (tmp_path / "prices.yaml").write_text(more)
    reading, problems = read_folder(tmp_path)
    if reading is not None:
        _, problems = join(reading)
    assert [str(p.where) for p in problems] == [where]
    assert says in problems[0].what


def test_a_rate_makes_a_currency_known(tmp_path):
    text = TWO_WIRE.replace("  date:", "  rates: {GBP: 1.17}\n  date:")
    (tmp_path / "vehicle.yaml").write_text(text)
    (tmp_path / "prices.yaml").write_text("suppliers:\n  s: {name: S, currency: GBP}\n")
    reading, _ = read_folder(tmp_path)
    assert join(reading)[1] == []
