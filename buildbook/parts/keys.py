"""The names of needs: which wider names a part may serve, and what kind a need is."""

from __future__ import annotations

from buildbook.description.quantities import parse_size
from buildbook.words.say import mark


def keys_for(key: str) -> tuple[str, ...]:
    """The keys that a part may serve to meet a need, closest first.

    >>> keys_for("wire thin-wall 0.5 mm2 RD")
    ('wire thin-wall 0.5 mm2 RD', 'wire thin-wall 0.5 mm2')
    >>> keys_for("terminal pin-1.5 mate 0.5 mm2")[1:3]
    ('terminal pin-1.5 mate', 'terminal pin-1.5')
    """
    kind, _, rest = key.partition(" ")
    words = rest.split(" ")
    wider: tuple[str, ...] = ()
    if kind == "part":
        wider = (rest,)
    elif kind == "wire":
        wider = (" ".join([kind, *words[:-1]]),)
    elif kind == "terminal":
        mate = (f"terminal {words[0]} mate",) if "mate" in words else ()
        wider = (*mate, f"terminal {words[0]}", words[0])
    elif kind in ("seal", "boot"):
        wider = (f"{kind} {words[0]}",)
    elif kind in ("sleeve", "heat-shrink", "clamp"):
        size = words[0].partition("-")[2]
        short = "shrink" if kind == "heat-shrink" else kind
        wider = (f"{short} {size} mm", short)
    elif kind == "splice" and rest.startswith("barrel-"):
        wider = (f"splice {rest.removeprefix('barrel-')} mm2", "splice")
    elif kind in ("label", "tape"):
        wider = (kind,)
    return tuple(dict.fromkeys((key, *wider)))


def colour_of(key: str) -> str:
    """Colour letters of a wire's need; '' for anything else."""
    return key.split(" ")[-1] if key.startswith("wire ") else ""


def area_mm2(key: str) -> float:
    """Area of the size that a key ends with, '10 mm2' or 'AWG 6'; 0 where it ends with none."""
    size = key.split(" ")[-2:]
    return parse_size(" ".join(size)).area_mm2 if size[0] == "AWG" or size[-1] == "mm2" else 0.0


OTHER = mark("other")
KINDS = {
    "part": mark("device"),
    "relay": mark("fuses and relays"),
    "fuse": mark("fuses and relays"),
    "base": mark("fuses and relays"),
    "holder": mark("fuses and relays"),
    "panel": mark("fuses and relays"),
    "wire": mark("wire and cable"),
    "cable": mark("wire and cable"),
    "terminal": mark("terminals and seals"),
    "seal": mark("terminals and seals"),
    "blank": mark("terminals and seals"),
    "splice": mark("terminals and seals"),
    "end": mark("terminals and seals"),
    "housing": mark("connectors"),
    "lock": mark("connectors"),
    "backshell": mark("connectors"),
    "boot": mark("connectors"),
    "stud": mark("grounds"),
    "sleeve": mark("cover and clamps"),
    "heat-shrink": mark("cover and clamps"),
    "tape": mark("cover and clamps"),
    "clamp": mark("cover and clamps"),
    "tie": mark("cover and clamps"),
    "label": mark("labels"),
    "consumable": mark("consumables"),
    "tool": mark("tools"),
}
"""First word of a need's key -> its kind, said where it is printed."""


def kind_of(key: str) -> str:
    """The kind of part that a need is counted under in the cost."""
    return KINDS.get(key.partition(" ")[0], OTHER)
