"""The parts list's references, prices and stock, checked."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation

from buildbook.description.models import Part
from buildbook.vehicle.scope import Path, Scope

COLOUR = re.compile(r" [A-Z]{2}(/[A-Z]{2})?$")
"""Colour letters at the end of a need; `AWG 20` ends with a number."""


def check_parts(scope: Scope) -> None:
    """Suppliers and substitutes exist, prices are amounts, currencies have a rate."""
    suppliers = scope.description.suppliers
    for currency, text in scope.description.vehicle.rates.items():
        _check_money(scope, ("vehicle", "rates", currency), text, above_zero=True)
    for name, supplier in suppliers.items():
        for key in ("carriage", "free_from", "smallest_order"):
            _check_money(scope, ("suppliers", name, key.replace("_", " ")), getattr(supplier, key))
        _check_currency(scope, ("suppliers", name, "currency"), supplier.currency)
    for name, part in scope.description.parts.items():
        path = ("parts", name)
        if part.supplier is not None:
            scope.known((*path, "supplier"), "supplier", part.supplier, suppliers)
        _check_money(scope, (*path, "price"), part.price)
        _check_currency(scope, (*path, "currency"), part.currency)
        for place, other in enumerate(part.substitutes):
            scope.known((*path, "substitutes", place), "part", other, scope.description.parts)
        _check_breaks(scope, path, part)
        _check_stock(scope, path, part)


def _check_breaks(scope: Scope, path: Path, part: Part) -> None:
    for packs, text in part.breaks.items():
        place = (*path, "breaks", str(packs))
        _check_money(scope, place, text)
        if packs < 1:
            scope.say(
                place,
                f"a price break from {packs} packs",
                "",
                "write packs, a colon and the price of each: {5: 8.40}",
            )
    if part.breaks and part.price is None:
        scope.say(
            (*path, "breaks"),
            "price breaks without a `price`",
            "the price of fewer packs is not known",
            "add `price`, of one pack",
        )


def _check_stock(scope: Scope, path: Path, part: Part) -> None:
    """A length of wire says its colour where the part serves wire of any colour."""
    wires = [need for need in part.serves if need.startswith("wire ")]
    any_colour = any(not COLOUR.search(need) for need in wires)
    for place, stock in enumerate(part.owned):
        if stock.length is not None and stock.colour is None and any_colour:
            scope.say(
                (*path, "owned", place),
                "an owned length of wire without its colour",
                "nobody would know what to cut from it",
                "write the colour after it, such as 8 m RD",
            )


def _check_currency(scope: Scope, path: Path, currency: str | None) -> None:
    vehicle = scope.description.vehicle
    if currency is None or currency == vehicle.currency or currency in vehicle.rates:
        return
    scope.say(
        path,
        f"no rate for the currency `{currency}`",
        f"its prices could not be added up in {vehicle.currency}",
        f"add `rates: {{{currency}: …}}` to `vehicle`: what 1 {currency} costs in "
        f"{vehicle.currency}",
    )


def _check_money(scope: Scope, path: Path, text: str | None, above_zero: bool = False) -> None:
    if text is None:
        return
    try:
        value = Decimal(text)
        sound = value.is_finite() and value >= 0 and not (above_zero and value == 0)
    except InvalidOperation:
        sound = False
    if not sound:
        scope.say(
            path,
            f"`{text}` is not an amount of money",
            "",
            "write the number alone, with a point: 4.50",
        )
