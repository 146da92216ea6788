"""The rope of every harness: runs between points, checked to be trees in one piece."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import networkx

from buildbook.description import models as written
from buildbook.description.suggest import did_you_mean
from buildbook.problem import Problem
from buildbook.vehicle.model import Run
from buildbook.vehicle.scope import Path, Scope


def runs_of(scope: Scope) -> tuple[Run, ...]:
    """All runs; loops, pieces, lengths and zones that are wrong are noted."""
    runs = []
    for name, harness in scope.description.rope.items():
        graph: networkx.Graph[str] = networkx.Graph()
        own = []
        for path, run in _written(scope, name):
            _check_marked(scope, path, run)
            if _closes_loop(graph, run.from_, run.to):
                scope.say(path, *_loop_words(graph, name, run.from_, run.to))
                continue
            graph.add_edge(run.from_, run.to)
            own.append(
                Run(
                    id=f"{name}:{run.from_}-{run.to}",
                    harness=name,
                    from_point=run.from_,
                    to_point=run.to,
                    length_m=run.length,
                    zone=run.zone,
                    estimated=run.known == "estimated",
                    clamps=run.clamps,
                    where=scope.where(path),
                    concentric=(run.layup or harness.layup) == "concentric",
                    bend_m=run.bend,
                    grommet_m=run.grommet,
                    from_heat_m=run.from_heat,
                    marked=tuple(run.marked.items()),
                )
            )
        _check_one_piece(scope, name, graph, own)
        for index, point in enumerate(harness.no_splices):
            scope.known(
                ("rope", name, "no splices", index), f"point of harness `{name}`", point, graph
            )
        runs += own
    return tuple(runs)


def _check_marked(scope: Scope, path: Path, run: written.Run) -> None:
    """What is marked on a rope lies on it."""
    for what, at_m in run.marked.items():
        if not 0 <= at_m <= run.length:
            scope.say(
                (*path, "marked", what),
                f"`{what}` is marked {at_m * 1000:.0f} mm from `{run.from_}`, and the rope to "
                f"`{run.to}` is {run.length * 1000:.0f} mm long",
                "",
                "measure from the first point of the run",
            )


def _written(scope: Scope, name: str) -> Iterator[tuple[Path, written.Run]]:
    """The runs of a harness with their places, those read off a tape after the others."""
    harness = scope.description.rope[name]
    for index, run in enumerate(harness.runs):
        path: Path = ("rope", name, "runs", index)
        scope.known((*path, "zone"), "zone", run.zone, scope.description.zones)
        yield path, run
    for index, tape in enumerate(harness.tapes):
        yield from _along(scope, ("rope", name, "tapes", index), tape)


def _along(scope: Scope, path: Path, tape: written.Tape) -> Iterator[tuple[Path, written.Run]]:
    """A run from each mark of a tape to the next; marks that do not rise are noted."""
    scope.known((*path, "zone"), "zone", tape.zone, scope.description.zones)
    first = tape.marks[0]
    for key in ("zone", "known", "clamps", "bend", "grommet", "from heat", "marked"):
        if getattr(first, key.replace(" ", "_")) not in (None, 0, {}):
            scope.say(
                (*path, "marks", 0, key),
                f"the first mark, `{first.at}`, has `{key}`, but no rope leads up to it",
                "what a mark says holds from the mark before it",
                "write it at the next mark",
            )
    for at, (before, mark) in enumerate(pairwise(tape.marks), start=1):
        spot = (*path, "marks", at)
        zone = mark.zone or tape.zone
        if mark.zone is not None:
            scope.known((*spot, "zone"), "zone", mark.zone, scope.description.zones)
        length = mark.reads - before.reads
        if length <= 0:
            scope.say(
                (*spot, "reads"),
                f"the tape reads {mark.reads * 1000:.0f} mm at `{mark.at}` and "
                f"{before.reads * 1000:.0f} mm at `{before.at}` before it",
                "marks along one rope only rise, so one of the two is misread",
                "read them again, in the order in which they lie along the rope",
            )
        yield (
            spot,
            written.Run.model_construct(
                from_=before.at,
                to=mark.at,
                length=round(length, 6),
                zone=zone,
                known=mark.known or tape.known,
                clamps=mark.clamps,
                bend=mark.bend,
                grommet=mark.grommet,
                from_heat=mark.from_heat,
                marked=mark.marked,
            ),
        )


def _closes_loop(graph: networkx.Graph[str], one: str, other: str) -> bool:
    if one == other:
        return True
    return one in graph and other in graph and networkx.has_path(graph, one, other)


def _loop_words(
    graph: networkx.Graph[str], harness: str, one: str, other: str
) -> tuple[str, str, str]:
    if one == other:
        return (f"a run of `{harness}` starts and ends at `{one}`", "", "name two points")
    way = " – ".join(networkx.shortest_path(graph, one, other))
    return (
        f"the rope of `{harness}` has a loop: this run joins `{one}` and `{other}`, "
        f"already joined by {way}",
        "a wire would have two ways to go, and the lengths would be unsure",
        "take one run of the loop out",
    )


def _check_one_piece(scope: Scope, name: str, graph: networkx.Graph[str], runs: list[Run]) -> None:
    if not runs:
        harness = scope.description.rope[name]
        if not (harness.runs or harness.tapes):
            scope.say(("rope", name), f"harness `{name}` has no runs")
        return
    trunk = networkx.node_connected_component(graph, runs[0].from_point)
    seen = set(trunk)
    for run in runs:
        if run.from_point not in seen:
            piece = networkx.node_connected_component(graph, run.from_point)
            seen |= piece
            scope.problems.append(_loose_piece(run, name, sorted(piece), sorted(trunk)))


def _loose_piece(run: Run, name: str, piece: list[str], trunk: list[str]) -> Problem:
    hints = [did_you_mean(point, trunk) for point in piece]
    close = [hint for hint in hints if hint.startswith("did you mean")]
    return Problem(
        run.where,
        f"the rope of `{name}` is in two pieces: {', '.join(piece)} is joined to nothing else",
        "no wire can get there from the rest of the harness",
        close[0] if close else "add the run that joins it, or make it a harness of its own",
    )
