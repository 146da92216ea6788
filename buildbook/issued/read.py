"""Reads `revisions/`, and refuses what cannot have been issued one after the other."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from buildbook.description.explain import explain
from buildbook.description.read import Positions, is_inside, outside
from buildbook.description.yaml_reader import plain, read_yaml
from buildbook.files.names import file_name
from buildbook.issued.model import FOLDER, Issued, Revision
from buildbook.problem import Problem, Where

MOST_FILES = 200
WHY = "a page that is held against it would be told as unchanged, or be printed for nothing"
HINT = "take the file back from a backup; it is written by `buildbook issue` alone"


def file_of(revision: str) -> str:
    """Where a revision is kept, from the vehicle's folder."""
    return f"{FOLDER}/{file_name(revision)}.yaml"


def read_issued(folder: Path) -> tuple[Issued, list[Problem]]:
    """The revisions of a vehicle folder in the order of issue; none where none was issued."""
    place = folder / FOLDER
    if not is_inside(place, folder):
        return Issued(), [outside(Where(FOLDER), FOLDER)]
    if not place.exists():
        return Issued(), []
    if not place.is_dir():
        hint = "move it away: revisions that are issued are kept in a folder of this name"
        return Issued(), [Problem(Where(FOLDER), f"`{FOLDER}` is not a folder", "", hint)]
    paths = [path for path in sorted(place.glob("*.yaml")) if not path.name.startswith(".")]
    if len(paths) > MOST_FILES:
        return Issued(), [Problem(Where(FOLDER), f"more than {MOST_FILES} files in the folder")]
    read: list[tuple[Revision, Positions]] = []
    problems: list[Problem] = []
    for path in paths:
        found, more = _read(path, folder)
        problems += more
        if found is not None:
            read.append(found)
    if not problems:
        read.sort(key=lambda one: len(one[0].earlier))
        problems = [*_out_of_order(read), *_unknown_pages(read)]
    revisions = () if problems else tuple(revision for revision, _ in read)
    return Issued(revisions), sorted(problems)


def _read(path: Path, folder: Path) -> tuple[tuple[Revision, Positions] | None, list[Problem]]:
    name = f"{FOLDER}/{path.name}"
    if not is_inside(path, folder):
        return None, [outside(Where(name), name)]
    if not path.is_file():
        return None, [Problem(Where(name), f"`{name}` is not an ordinary file")]
    tree, problems = read_yaml(path, name)
    if tree is None or problems:
        return None, problems
    try:
        revision = Revision.model_validate(plain(tree))
    except ValidationError as error:
        return None, explain(error, tree, Revision)
    positions = Positions(tree)
    if file_of(revision.revision) != name:
        what = f"the file is of revision {revision.revision}, which is kept in another"
        hint = f"name it `{file_of(revision.revision)}`, or take it away"
        return None, [Problem(positions.spot("revision"), what, WHY, hint)]
    return (revision, positions), []


def _out_of_order(read: list[tuple[Revision, Positions]]) -> list[Problem]:
    """Revisions that do not name the one before among those before them, or name one twice."""
    problems = []
    for number, (revision, positions) in enumerate(read):
        names = [one.revision for one in revision.earlier]
        if len({*names, revision.revision}) <= len(names):
            what = f"revision {revision.revision} names one twice among those issued before it"
            problems.append(Problem(positions.spot("earlier"), what, WHY, HINT))
        elif number and (before := read[number - 1][0].revision) not in names:
            what = f"revisions {before} and {revision.revision} do not follow one another"
            problems.append(Problem(positions.spot("earlier"), what, WHY, HINT))
    return problems


def _unknown_pages(read: list[tuple[Revision, Positions]]) -> list[Problem]:
    """Pages of a revision that nobody issued."""
    return [
        Problem(
            positions.spot("chapters", c, "pages", p, "revision"),
            f"a page is of revision {page.revision}, which was not issued before this one",
            WHY,
            HINT,
        )
        for revision, positions in read
        for c, chapter in enumerate(revision.chapters)
        for p, page in enumerate(chapter.pages)
        if page.revision not in revision.dates
    ]
