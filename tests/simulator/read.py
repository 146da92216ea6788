"""A description's folder and results as plain data, read anew without the package's readers."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import yaml

from tests.conftest import in_full

UNITS = {
    "": 1.0,
    "%": 0.01,
    "V": 1.0,
    "mV": 1e-3,
    "A": 1.0,
    "mA": 1e-3,
    "uA": 1e-6,
    "W": 1.0,
    "ohm": 1.0,
    "mohm": 1e-3,
    "kohm": 1e3,
    "Hz": 1.0,
    "kHz": 1e3,
    "rpm": 1.0,
    "degC": 1.0,
    "bar": 1.0,
}


class Loader(yaml.SafeLoader):
    """YAML in which `on`, `off`, `yes` and `no` are words, as in a description."""


Loader.yaml_implicit_resolvers = {
    first: [(tag, form) for tag, form in forms if tag != "tag:yaml.org,2002:bool"]
    for first, forms in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def amount(text: Any) -> float:
    """What a quantity is in the unit without a prefix: '8 mohm' is 0.008."""
    found = re.fullmatch(r"\s*([-+.\deE]+)\s*(\S*)\s*", str(text))
    assert found, text
    return float(found[1]) * UNITS[found[2]]


def folder(path: Path) -> dict[str, Any]:
    """Every section of a folder's YAML, joined; of a vehicle in short, of that in full."""
    whole: dict[str, Any] = {}
    for file in sorted(in_full(path).glob("*.yaml")):
        if file.name == "as-built.yaml":
            continue
        for section, content in yaml.load(file.read_text(encoding="utf-8"), Loader).items():
            if isinstance(content, dict):
                whole.setdefault(section, {}).update(content)
    return whole


def as_list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [] if value is None else [value]


def holds(when: Any, state: str) -> bool:
    """Whether a key such as `in` or `closed` holds in a state."""
    if when is None or when == "all":
        return True
    if isinstance(when, dict):
        return state not in as_list(when.get("except"))
    return state in as_list(when)


def pins_of(device: dict[str, Any], plugs: dict[str, Any]) -> list[str]:
    """Names of a device's pins that are used, in order."""
    named = [str(name) for name in device.get("pins") or {}]
    if not named and "plug" in device:
        named = [str(cavity) for row in plugs[device["plug"]]["rows"] for cavity in row]
    unused = {str(name) for name in device.get("unused") or []}
    return [name for name in named if name not in unused]
