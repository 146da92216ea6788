"""The order pack: an order for each supplier with its sums, and nothing else of the book."""

from __future__ import annotations

from tests.book_of import order_pack_of, texts_of


def test_the_pack_has_an_order_with_its_sums_for_each_supplier(lapwing):
    pages = texts_of(order_pack_of(lapwing))
    whole = " ".join(pages)
    suppliers = lapwing.vehicle.description.suppliers
    for n, order in enumerate(lapwing.bill.orders, 1):
        first = next(p for p in pages if f"Order A-{n}" in p and "FROM" in p)
        assert suppliers[order.supplier].name in first
        assert suppliers[order.supplier].address in first.replace("\n", " ")
        assert f"{order.asked.total:.2f} {order.currency}" in whole
        assert all(line.part in whole.replace("\n", "") for line in order.lines)
    assert "Please quote." in whole
    assert "Price of 2023-05-02: please confirm." in whole
    assert f"{lapwing.bill.total:.2f} {lapwing.bill.currency}" in whole
    assert "Cut from this reel" in whole and "Spares box for the track" in whole
    assert "Troubleshooting" not in whole
