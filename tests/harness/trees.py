"""Random vehicles over random rope trees, joined up as the program joins them."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from buildbook.as_built.model import AsBuilt
from buildbook.description.models import Description
from buildbook.description.read import FolderContents, Positions
from buildbook.description.yaml_reader import Node
from buildbook.problem import Where
from buildbook.vehicle.join import join
from buildbook.vehicle.model import Vehicle

ZONES = {
    "still": {"ambient": "40 degC"},
    "moving": {"ambient": "40 degC", "moving": "yes"},
}


def joined(data: dict[str, Any], as_built: AsBuilt | None = None) -> Vehicle:
    """The vehicle of a description given as plain data; it must have no problem."""
    base = {
        "vehicle": {"name": "Test", "date": "2026-01-01"},
        "supply": {"battery": {"between": ["battery.+", "battery.-"]}},
        "states": {"on": {}},
        "zones": ZONES,
        "systems": {"all": {"title": "All"}},
    }
    description = Description.model_validate(base | data)
    place = Where("vehicle.yaml")
    vehicle, problems = join(FolderContents(description, Positions(Node({}, place)), {}), as_built)
    assert vehicle is not None, problems
    return vehicle


def run(a: str, b: str, mm: int, **more: Any) -> dict[str, Any]:
    """A run as it is written."""
    return {"from": a, "to": b, "length": f"{mm} mm", "zone": "still"} | more


def plug(count: int, contact: str = "pin-1.5") -> dict[str, Any]:
    """A one-row plug type with so many cavities."""
    return {"contact": contact, "rows": [[str(n + 1) for n in range(count)]]}


def sensor(point: str, pins: int) -> dict[str, Any]:
    """A device with a plug of so many pins."""
    names = {str(n + 1): "wire" for n in range(pins)}
    return {"kind": "sensor", "at": point, "plug": f"plug-{pins}", "pins": names, "system": "all"}


@st.composite
def descriptions(draw: st.DrawFn) -> dict[str, Any]:
    """One to three harnesses in a chain, each a random tree; neighbours meet once or twice."""
    rope: dict[str, Any] = {}
    points: list[str] = []
    devices: dict[str, Any] = {}
    plugs = {f"plug-{n}": plug(n) for n in range(1, 6)} | {"wide": plug(40)}
    gate = ""
    previous: list[dict[str, Any]] = []
    for name in ("front", "middle", "rear")[: draw(st.integers(1, 3))]:
        own = [gate or f"{name}-0"]
        runs = []
        for at in range(1, draw(st.integers(2, 7))):
            new = f"{name}-{at}"
            runs.append(
                run(
                    draw(st.sampled_from(own)),
                    new,
                    draw(st.integers(50, 3000)),
                    zone=draw(st.sampled_from(["still", "still", "moving"])),
                    known=draw(st.sampled_from(["measured", "estimated"])),
                )
            )
            own.append(new)
        if gate and draw(st.booleans()):
            second = draw(st.sampled_from(points))
            if second not in own and any(second in (r["from"], r["to"]) for r in previous):
                runs.append(run(draw(st.sampled_from(own)), second, draw(st.integers(50, 3000))))
                devices[f"Y{len(rope) + 1}"] = {
                    "kind": "pass-through",
                    "at": second,
                    "plug": "wide",
                    "between": [list(rope)[-1], name],
                }
        previous = runs
        layup = draw(st.sampled_from(["parallel", "concentric"]))
        rope[name] = {"runs": runs, "layup": layup}
        if gate:
            before = list(rope)[-2]
            devices[f"X{len(rope)}"] = {
                "kind": "pass-through",
                "at": gate,
                "plug": "wide",
                "between": [before, name],
            }
        points += own
        gate = draw(st.sampled_from(own[1:]))
    devices["battery"] = {"kind": "battery", "at": points[0], "system": "all"}
    devices["G1"] = {"kind": "ground", "at": draw(st.sampled_from(points)), "system": "all"}
    free: list[str] = []
    for at in range(draw(st.integers(2, 8))):
        pins = draw(st.integers(1, 5))
        devices[f"d{at}"] = sensor(draw(st.sampled_from(points)), pins)
        free += [f"d{at}.{n + 1}" for n in range(pins)]
    free = draw(st.permutations(free))
    circuits: dict[str, Any] = {
        "supply": {"join": ["battery.+", free.pop()]},
        "return": {"join": ["battery.-", "G1"]},
    }
    while free:
        count = min(len(free), draw(st.integers(1, 6)))
        pins, free = free[:count], free[count:]
        name = f"c{len(circuits)}"
        if count == 1:
            end = {"capped at": draw(st.sampled_from(points)), "status": "spare"}
            circuits[name] = {"join": pins, **end}
        elif draw(st.booleans()):
            circuits[name] = {"join": [*pins, "G1"]}
        else:
            circuits[name] = {"join": pins}
    return {"plugs": plugs, "devices": devices, "circuits": circuits, "rope": rope}


def vehicles() -> st.SearchStrategy[Vehicle]:
    """Random vehicles, joined up."""
    return descriptions().map(joined)
