"""The parts list's references and prices, checked."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation

from buildbook.vehicle.scope import Path, Scope


def check_parts(scope: Scope) -> None:
    """Suppliers exist and prices are decimal amounts."""
    suppliers = scope.description.suppliers
    for name, supplier in suppliers.items():
        _check_money(scope, ("suppliers", name, "carriage"), supplier.carriage)
    for name, part in scope.description.parts.items():
        if part.supplier is not None:
            scope.known(("parts", name, "supplier"), "supplier", part.supplier, suppliers)
        if part.price is not None:
            _check_money(scope, ("parts", name, "price"), part.price)


def _check_money(scope: Scope, path: Path, text: str) -> None:
    try:
        sound = Decimal(text).is_finite() and Decimal(text) >= 0
    except InvalidOperation:
        sound = False
    if not sound:
        scope.say(
            path, f"`{text}` is not an amount of money", "",
            f"write the number alone, such as 4.50; it is in {scope.description.vehicle.currency}",
        )  # fmt: skip
