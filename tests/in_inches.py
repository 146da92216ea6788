"""A vehicle as somebody would write it who measures in inches and buys wire by gauge numbers."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

GAUGES = {
    "0.22": "24",
    "0.35": "22",
    "0.5": "20",
    "0.75": "18",
    "1": "18",
    "1.5": "16",
    "2.5": "14",
    "4": "12",
    "6": "10",
    "10": "8",
    "16": "6",
    "25": "4",
    "35": "2",
    "50": "1/0",
    "70": "2/0",
}
"""Size in mm2 -> the gauge whose contacts it shares, no more than a sixth thinner (ASTM B258)."""
FAMILIES = {
    "thin-wall-125": "awg-automotive",
    "thin-wall": "awg-automotive",
    "family: battery": "family: awg-automotive",
    "wire battery": "wire awg-automotive",
}
SIZE = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) mm[2²]")
LENGTH = re.compile(r"(?<![\w.<>-])(-?\d+(?:\.\d+)?) (mm|m)\b(?![2²])")
KEY = re.compile(r"""(?:(?<=\[)|(?<=")|(?<=, ))(?:sleeve braided|shrink|clamp) (?:<n>|\d+) mm""")
"""What a part serves, as the catalogue writes it; not the same words in its name."""


def in_inches(folder: Path, into: Path) -> Path:
    """A copy of a vehicle: inches and feet for millimetres and metres, gauges for areas, Letter."""
    shutil.copytree(folder, into, dirs_exist_ok=True)
    for path in into.rglob("*"):
        if path.suffix in (".yaml", ".csv", ".md"):
            path.write_text(turned(path.read_text()))
    head = into / "vehicle.yaml"
    text = re.sub(r"^  (paper|units): .*\n", "", head.read_text(), flags=re.MULTILINE)
    head.write_text(text.replace("vehicle:\n", "vehicle:\n  paper: Letter\n  units: inch\n", 1))
    return into


def turned(text: str) -> str:
    """The words of a file with every length and size in the other units."""
    kept: list[str] = []

    def keep(found: re.Match[str]) -> str:
        kept.append(found[0])
        return f"\0{len(kept) - 1}\0"

    text = KEY.sub(keep, text)
    for metric, gauge in FAMILIES.items():
        text = re.sub(rf"(?<![\w-]){metric}(?![\w-])", gauge, text)
    text = SIZE.sub(lambda found: f"AWG {GAUGES[found[1]]}", text)
    text = LENGTH.sub(_length, text)
    text = text.replace("by the metre", "by the foot").replace("a metre", "a yard")
    return re.sub("\0(\\d+)\0", lambda found: kept[int(found[1])], text)


def _length(found: re.Match[str]) -> str:
    value = float(found[1])
    return f"{value / 25.4:.4g} in" if found[2] == "mm" else f"{value / 0.3048:.4g} ft"
