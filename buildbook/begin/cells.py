"""What stands in the cells of a table of wires: lengths, amps, sizes, colours, ends of a wire."""

from __future__ import annotations

import re

from buildbook.catalogue.load import colour_rows, wire_families
from buildbook.description.quantities import parse

NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
ABBREVIATED = {
    "blk": "BK",
    "brn": "BN",
    "bwn": "BN",
    "r": "RD",
    "o": "OG",
    "or": "OG",
    "orn": "OG",
    "y": "YE",
    "yel": "YE",
    "g": "GN",
    "grn": "GN",
    "blu": "BU",
    "v": "VT",
    "vio": "VT",
    "purple": "VT",
    "pur": "VT",
    "gray": "GY",
    "gry": "GY",
    "w": "WH",
    "wht": "WH",
    "p": "PK",
    "pnk": "PK",
}
"""Common short forms (common practice, no source) -> IEC 60757; `b` may be three colours."""
METRIC, GAUGE = "thin-wall-125", "awg-automotive"


def length_m(text: str, unit: str) -> float:
    """A length in m; `unit` is the heading's, where the cell has none. ValueError says why not."""
    metres = parse(_with_unit(text, unit or "mm"), "m")
    if not 0.01 <= metres <= 100:
        raise ValueError(f"{metres:g} m is no length of a wire in a vehicle")
    return metres


def amps(text: str, unit: str) -> float:
    """A current in A, above zero."""
    found = parse(_with_unit(re.sub(r"(?i)\bamps?\b", "A", text), unit or "A"), "A")
    if not 0 < found <= 2000:
        raise ValueError(f"{found:g} A is no current of a wire")
    return found


def _with_unit(text: str, unit: str) -> str:
    plain = text.strip().replace('"', " in")
    if NUMBER.fullmatch(plain):
        return f"{plain.replace(',', '.')} {unit}"
    return re.sub(r"(\d),(\d)", r"\1.\2", plain)


def size(text: str, unit: str) -> str:
    """A size as the catalogue calls it, '0.5 mm2' or 'AWG 20'; ValueError where it has none."""
    plain = text.strip().lower().replace(",", ".").replace("²", "2")
    gauge = re.fullmatch(r"(?:awg|ga\.?|gauge)?\s*#?(\d+(?:/0)?)\s*(?:awg|ga\.?|gauge)?", plain)
    area = re.fullmatch(r"(\d*\.?\d+)\s*(?:mm2|sq\.? ?mm|qmm|mm\^2|mm)?", plain)
    said_gauge = re.search(r"awg|ga|#|/0", plain) or (unit == "AWG" and plain.isdigit())
    if gauge and said_gauge:
        label = f"AWG {gauge[1]}"
    elif area and float(area[1]) > 0:
        label = f"{float(area[1]):g} mm2"
    else:
        raise ValueError(f"`{text.strip()}` is no size such as 0.5 mm² or AWG 20")
    made = [c.label for f in (METRIC, GAUGE, "battery") for c in wire_families()[f].conductors]
    if label not in made:
        raise ValueError(f"no wire of {label.replace('mm2', 'mm²')} is in the catalogue")
    return label


def family_of(label: str) -> str:
    """The family of wire that is made in a size."""
    for family in (METRIC, GAUGE):
        if label in [c.label for c in wire_families()[family].conductors]:
            return family
    return "battery"


def colour(text: str) -> str:
    """A colour by IEC 60757, `RD` or `RD/WH`, from its code, name or a common short form."""
    names = {code.lower(): code for code in colour_rows()}
    names |= {row.name.lower(): code for code, row in colour_rows().items()}
    parts = [p for p in re.split(r"[\s/\-+,]+", text.strip().lower()) if p not in ("", "with")]
    if not 1 <= len(parts) <= 2:
        raise ValueError(f"`{text.strip()}` is no colour such as RD or RD/WH")
    found = []
    for part in parts:
        if part == "b":
            raise ValueError("`B` may be black, blue or brown: write BK, BU or BN")
        code = names.get(part) or ABBREVIATED.get(part)
        if code is None:
            raise ValueError(f"`{part}` is no colour that is known; {', '.join(colour_rows())} are")
        found.append(code)
    return "/".join(dict.fromkeys(found))


def end_of(device: str, pin: str) -> tuple[str, str]:
    """Device and pin of one end; a cell `ECU.A12`, `ECU:12` or `ECU pin 12` has both."""
    device, pin = device.strip(), pin.strip()
    if not pin:
        both = re.fullmatch(r"(.+?)\s*(?:[.:]|\s+(?:pin|terminal|cavity)\s+)\s*(\S+)", device)
        if both:
            device, pin = both[1].strip(), both[2]
        elif re.fullmatch(r"(?i).*batt.*[+-]", device):
            device, pin = device[:-1].strip(), device[-1]
    return device, pin
