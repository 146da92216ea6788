"""Writes the starter vehicle into an empty folder."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from buildbook.files.writing import write_file, write_folder

STARTER_FILES = ("vehicle.yaml", "parts.csv", "notes.md")


class NotWritten(Exception):
    """Why the starter was not written, in words for the user."""


def write_starter(target: Path) -> list[Path]:
    """Write the starter into `target`, made if need be; the paths written.

    Raises NotWritten, with nothing written, where `target` holds anything already or cannot
    be made.
    """
    if target.exists() and not target.is_dir():
        raise NotWritten(f"{target} is a file, not a folder")
    try:
        if target.is_dir() and any(target.iterdir()):
            raise NotWritten(f"{target} is not empty; name a new folder, so that nothing is lost")
        held = {
            name: files("buildbook").joinpath("starter", name).read_text(encoding="utf-8")
            for name in STARTER_FILES
        }
        if target.exists():  # it may be where the user stands: it stays the same folder
            for name, text in held.items():
                write_file(target / name, text.encode("utf-8"))
        else:
            write_folder(target, held)
    except OSError as error:
        raise NotWritten(f"cannot write into {target}: {error.strerror}") from None
    return [target / name for name in STARTER_FILES]
