"""Reads the catalogue's data files into rows, each with its source."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from buildbook.catalogue.model import (
    Barrel,
    Boot,
    Clamp,
    Colour,
    Conductor,
    ContactFamily,
    FuseFamily,
    Sleeve,
    WireFamily,
)


def _data(name: str) -> Any:
    return yaml.safe_load(files("buildbook.catalogue").joinpath(f"{name}.yaml").read_text("utf-8"))


def _rows(table: dict[str, Any]) -> list[dict[str, Any]]:
    return [dict(zip(table["columns"], row, strict=True)) for row in table["rows"]]


@cache
def wire_families() -> dict[str, WireFamily]:
    """Wire families by id; conductors thinnest first."""
    families = {}
    for id_, table in _data("wire").items():
        conductors = [Conductor(**row) for row in _rows(table)]
        families[id_] = WireFamily(
            id_,
            table["title"],
            float(table["rated_c"]),
            tuple(sorted(conductors, key=lambda c: c.area_mm2)),
            table["source"],
            float(table["overload_c"]),
            float(table["short_circuit_c"]),
        )
    return families


@cache
def contact_families() -> dict[str, ContactFamily]:
    """Contact families by id: pins, blades, crimp contact sizes and rings."""
    contacts = {}
    for row in _rows(_data("contacts")):
        seal = row.pop("sealed_od_mm")
        contacts[row["id"]] = ContactFamily(
            **row, sealed_od_mm=(float(seal[0]), float(seal[1])) if seal else None
        )
    return contacts


@cache
def fuse_families() -> dict[str, FuseFamily]:
    """Fuse families by id: blades, cartridge and bolted strips; ratings rising."""
    return {
        id_: FuseFamily(
            id_,
            row["title"],
            tuple(float(rating) for rating in row["ratings_a"]),
            {float(rating): colour for rating, colour in row["colours"].items()},
            tuple(
                (float(k), float(low), None if high is None else float(high))
                for k, low, high in row["bands"]
            ),
            row["ohms_at_1a"],
            row["continuous_share"],
            row["source"],
            row["lost_per_k"],
            float(row["breaking_a"]),
            row["how"],
        )
        for id_, row in _data("fuses").items()
    }


@cache
def colour_rows() -> dict[str, Colour]:
    """Colours by IEC 60757 code, with the source of each."""
    table = _data("colours")
    return {row["code"]: Colour(**row, source=table["source"]) for row in _rows(table)}


@cache
def colours() -> dict[str, tuple[str, str]]:
    """IEC 60757 code -> (name, screen value)."""
    return {code: (row.name, row.hex) for code, row in colour_rows().items()}


@cache
def sleeves() -> dict[str, Sleeve]:
    """Bundle coverings by id."""
    return {row["id"]: Sleeve(**row) for row in _rows(_data("sleeves"))}


@cache
def barrels() -> dict[str, Barrel]:
    """Crimp barrels for splices by id, smallest first."""
    return {row["id"]: Barrel(**row) for row in _rows(_data("barrels"))}


@cache
def clamps() -> dict[str, Clamp]:
    """Cushioned clamps by id, smallest first."""
    return {row["id"]: Clamp(**row) for row in _rows(_data("clamps"))}


@cache
def boots() -> dict[str, Boot]:
    """Moulded boots by id, smallest first."""
    return {row["id"]: Boot(**row) for row in _rows(_data("boots"))}
