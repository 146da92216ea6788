"""Writes a vehicle to begin with into an empty folder: the starter, or any other."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from importlib.resources import files
from pathlib import Path

from buildbook.files.writing import write_file, write_folder

STARTER_FILES = ("vehicle.yaml", "parts.csv", "notes.md")


class NotWritten(Exception):
    """Why nothing was written, in words for the user."""


def write_starter(target: Path) -> list[Path]:
    """Write the starter into `target`; as `write_new`."""
    starter = files("buildbook").joinpath("starter")
    held = {name: starter.joinpath(name).read_text(encoding="utf-8") for name in STARTER_FILES}
    return write_new(target, held)


def write_new(target: Path, held: Mapping[str, str]) -> list[Path]:
    """Write files by name into `target`, made if need be; the paths written.

    Raises NotWritten, with nothing written, where `target` holds anything already or cannot
    be made.
    """
    refuse_taken(target)
    try:
        if target.exists():  # it may be where the user stands: it stays the same folder
            _write_each(target, held)
        else:
            write_folder(target, held)
    except OSError as error:
        raise NotWritten(f"cannot write into {target}: {error.strerror}") from None
    return [target / name for name in held]


def refuse_taken(target: Path) -> None:
    """Raises NotWritten where `target` is a file, or a folder that holds anything."""
    if target.exists() and not target.is_dir():
        raise NotWritten(f"{target} is a file, not a folder")
    try:
        if target.is_dir() and any(target.iterdir()):
            raise NotWritten(f"{target} is not empty; name a new folder, so that nothing is lost")
    except OSError as error:
        raise NotWritten(f"cannot read {target}: {error.strerror}") from None


def _write_each(target: Path, held: Mapping[str, str]) -> None:
    """Into a folder that is there: all of them, or none is left."""
    written: list[Path] = []
    try:
        for name, text in held.items():
            write_file(target / name, text.encode("utf-8"))
            written.append(target / name)
    except OSError:
        for path in written:
            with suppress(OSError):
                path.unlink()
        raise
