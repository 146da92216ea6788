"""The names of needs: which wider names a part may serve, and what kind a need is."""

from __future__ import annotations


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
    """Area at the end of a key; 0 where it ends with a gauge number."""
    words = key.split(" ")
    return float(words[-2]) if words[-1] == "mm2" else 0.0


KINDS = {
    "part": "device",
    "relay": "fuses and relays",
    "fuse": "fuses and relays",
    "base": "fuses and relays",
    "holder": "fuses and relays",
    "panel": "fuses and relays",
    "wire": "wire and cable",
    "cable": "wire and cable",
    "terminal": "terminals and seals",
    "seal": "terminals and seals",
    "blank": "terminals and seals",
    "splice": "terminals and seals",
    "end": "terminals and seals",
    "housing": "connectors",
    "lock": "connectors",
    "backshell": "connectors",
    "boot": "connectors",
    "stud": "grounds",
    "sleeve": "cover and clamps",
    "heat-shrink": "cover and clamps",
    "tape": "cover and clamps",
    "clamp": "cover and clamps",
    "tie": "cover and clamps",
    "label": "labels",
    "consumable": "consumables",
    "tool": "tools",
}


def kind_of(key: str) -> str:
    """The kind of part that a need is counted under in the cost."""
    return KINDS.get(key.partition(" ")[0], "other")
