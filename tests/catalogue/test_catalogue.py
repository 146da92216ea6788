"""The catalogue against published figures."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from buildbook.catalogue.load import (
    barrels,
    clamps,
    colour_rows,
    colours,
    contact_families,
    fuse_families,
    sleeves,
    wire_families,
)

IEC_60228_CLASS_5 = {
    0.5: 39.0,
    0.75: 26.0,
    1.0: 19.5,
    1.5: 13.3,
    2.5: 7.98,
    4: 4.95,
    6: 3.30,
    10: 1.91,
    16: 1.21,
    25: 0.780,
    35: 0.554,
    50: 0.386,
    70: 0.272,
    95: 0.206,
    120: 0.161,
}
"""mm2 -> largest ohm per km at 20 degC, plain copper (IEC 60228, read; 120 from memory)."""

AC_43_13_TABLE_11_9 = {
    24: 28.40,
    22: 16.20,
    20: 9.88,
    18: 6.23,
    16: 4.81,
    14: 3.06,
    12: 2.02,
    10: 1.26,
    8: 0.70,
    6: 0.44,
    4: 0.28,
    2: 0.18,
}
"""AWG -> ohm per 1000 ft at 20 degC, tin-plated (FAA AC 43.13-1B, read)."""


@pytest.mark.parametrize("family", ["thin-wall", "thin-wall-125", "battery"])
def test_metric_wire_has_the_largest_class_5_resistance(family: str) -> None:
    checked = 0
    for conductor in wire_families()[family].conductors:
        if conductor.area_mm2 in IEC_60228_CLASS_5:
            published = IEC_60228_CLASS_5[conductor.area_mm2]
            assert conductor.ohm_per_m_20c * 1000 == pytest.approx(published, rel=1e-6)
            checked += 1
    assert checked >= 6


def test_tin_plated_wire_has_the_resistance_of_table_11_9() -> None:
    found = {c.label: c.ohm_per_m_20c for c in wire_families()["awg-etfe"].conductors}
    for gauge, per_1000_ft in AC_43_13_TABLE_11_9.items():
        assert found[f"AWG {gauge}"] == pytest.approx(per_1000_ft / 304.8, rel=5e-4)


@pytest.mark.parametrize("family", ["awg-etfe", "awg-automotive"])
def test_gauge_areas_follow_astm_b258(family: str) -> None:
    # ASTM B258, solid diameters in mm: AWG 20 0.8118, AWG 12 2.0525 (read)
    areas = {c.label: c.area_mm2 for c in wire_families()[family].conductors}
    assert areas["AWG 20"] == pytest.approx(math.pi / 4 * 0.8118**2, rel=1e-3)
    assert areas["AWG 12"] == pytest.approx(math.pi / 4 * 2.0525**2, rel=1e-3)


def test_no_wire_conducts_better_than_annealed_copper() -> None:
    # IEC 60028: 0.017241 ohm mm2/m at 20 degC (memory). AWG areas are those of a solid wire
    # and AS22759 strandings hold more copper than that, up to 1.20 times (AC 43.13-1B table 11-9,
    # circular mils against B258), so only metric and J1128 wire is held to it.
    for family in ("thin-wall", "battery", "awg-automotive"):
        for conductor in wire_families()[family].conductors:
            assert conductor.ohm_per_m_20c * conductor.area_mm2 > 0.017241


def test_thicker_conductors_are_heavier_wider_and_less_resistive() -> None:
    for family in wire_families().values():
        for thin, thick in zip(family.conductors, family.conductors[1:], strict=False):
            assert thin.area_mm2 < thick.area_mm2
            assert thin.ohm_per_m_20c > thick.ohm_per_m_20c
            assert thin.outside_mm < thick.outside_mm
            assert thin.kg_per_m < thick.kg_per_m


def test_wire_weighs_more_than_its_copper() -> None:
    # copper 8890 kg/m3 (IEC 60028, memory)
    for family in wire_families().values():
        for conductor in family.conductors:
            copper = conductor.area_mm2 * 1e-6 * 8890
            assert copper < conductor.kg_per_m < 3.5 * copper


def test_insulation_is_wider_than_the_conductor() -> None:
    for family in wire_families().values():
        for conductor in family.conductors:
            assert conductor.outside_mm > math.sqrt(4 * conductor.area_mm2 / math.pi)


def test_blade_fuses_have_iso_8820_3_ratings_and_colours() -> None:
    # ISO 8820-3 (memory)
    blade = fuse_families()["blade"]
    assert blade.ratings_a == (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40)
    assert (blade.colours[7.5], blade.colours[10], blade.colours[15]) == ("brown", "red", "blue")
    assert set(blade.colours) == set(blade.ratings_a)


def test_blade_fuses_open_within_iso_8820_3_times() -> None:
    # ISO 8820-3: percent of rating, shortest s, longest s (memory)
    published = [
        (110, 360000, None),
        (135, 0.75, 600),
        (160, 0.25, 50),
        (200, 0.15, 5),
        (350, 0.04, 0.5),
        (600, 0.02, 0.1),
    ]
    bands = [(round(100 * k), low, high) for k, low, high in fuse_families()["blade"].bands]
    assert bands == published


@pytest.mark.parametrize("family", fuse_families())
def test_fuses_open_sooner_the_greater_the_current(family: str) -> None:
    bands = fuse_families()[family].bands
    for slow, fast in zip(bands, bands[1:], strict=False):
        assert slow[0] < fast[0]
        assert slow[1] > fast[1]
        assert slow[2] is None or fast[2] is not None and slow[2] > fast[2]


@pytest.mark.parametrize(
    ("size", "amps", "thinnest_awg", "thickest_awg"),
    [("22D", 5, 28, 22), ("20", 7.5, 24, 20), ("16", 13, 20, 16), ("12", 23, 14, 12)],
)
def test_crimp_contact_sizes_follow_as39029(
    size: str, amps: float, thinnest_awg: int, thickest_awg: int
) -> None:
    # MIL-DTL-38999 and AS39029 (memory); area of a gauge by ASTM B258
    contact = contact_families()[f"size-{size}"]
    assert contact.amps == amps
    for gauge, limit, sign in (
        (thinnest_awg, contact.smallest_mm2, 1),
        (thickest_awg, contact.largest_mm2, -1),
    ):
        area = math.pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2
        assert sign * limit <= sign * area * (1 + 0.01 * sign)
        assert limit == pytest.approx(area, rel=0.25)


def test_only_rings_share_a_post() -> None:
    for contact in contact_families().values():
        assert contact.stud == contact.id.startswith("ring-")


def test_colours_are_the_letters_of_iec_60757() -> None:
    # IEC 60757 (memory)
    published = {
        "BK": "black",
        "BN": "brown",
        "RD": "red",
        "OG": "orange",
        "YE": "yellow",
        "GN": "green",
        "BU": "blue",
        "VT": "violet",
        "GY": "grey",
        "WH": "white",
        "PK": "pink",
        "TQ": "turquoise",
    }
    assert {code: name for code, (name, _) in colours().items()} == published


def test_sleeves_of_a_kind_leave_no_gap_from_4_to_36_mm() -> None:
    for kind in ("braided sleeve", "heat-shrink", "tape"):
        own = [sleeve for sleeve in sleeves().values() if sleeve.kind == kind]
        for tenths in range(40, 361):
            assert any(s.smallest_mm <= tenths / 10 <= s.largest_mm for s in own), (kind, tenths)


def test_clamps_leave_no_gap_from_2_to_40_mm() -> None:
    for tenths in range(20, 401):
        assert any(c.smallest_mm <= tenths / 10 <= c.largest_mm for c in clamps().values())


def test_barrels_leave_no_gap_from_0_4_to_125_mm2() -> None:
    rows = list(barrels().values())
    for thinner, thicker in pairwise(rows):
        assert thinner.largest_mm2 == thicker.smallest_mm2
        assert thinner.outside_mm < thicker.outside_mm
    assert (rows[0].smallest_mm2, rows[-1].largest_mm2) == (0.4, 125)


def test_a_barrel_is_wider_than_the_copper_in_it() -> None:
    for barrel in barrels().values():
        # a solid round of the section alone (geometry), before any wall
        assert barrel.outside_mm > 2 * math.sqrt(barrel.largest_mm2 / math.pi)


def test_every_row_says_where_it_comes_from() -> None:
    tables = (
        wire_families(),
        contact_families(),
        fuse_families(),
        colour_rows(),
        sleeves(),
        clamps(),
        barrels(),
    )
    for table in tables:
        assert table
        for row in table.values():
            assert len(row.source) > 10
    for family in wire_families().values():
        for conductor in family.conductors:
            assert any(word in conductor.how for word in ("read", "memory", "computed"))
