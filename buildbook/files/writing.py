"""Writes a file or a folder in one move, so that it is never half there."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from uuid import uuid4

PLACE = ".buildbook-part"
"""Folder beside what is written, in which it stands until it is whole."""
LONGEST_S = 86_400.0
"""A part that is older is nobody's, whatever runs under the number of its process. Our choice."""


def write_file(target: Path, content: bytes, flushed: bool = True) -> None:
    """Write the file under another name beside it first; a link is not followed.

    With `flushed` it is on the disk before it takes its name, so that a power cut leaves the old
    or the new.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    with _part_beside(target) as part:
        _write(part, content, flushed)
        os.chmod(part, 0o644)
        os.replace(part, target)
    if flushed:
        _flush_folder(target.parent)


def write_folder(out: Path, files: Mapping[str, str]) -> None:
    """Write `files` under `out` in one move, so that it is never half there."""
    out.parent.mkdir(parents=True, exist_ok=True)
    with _part_beside(out) as whole:
        for name, content in files.items():
            path = whole / name
            path.parent.mkdir(parents=True, exist_ok=True)
            _write(path, content.encode("utf-8"), flushed=True)
        if out.exists():
            out.rmdir()
        os.rename(whole, out)
    _flush_folder(out.parent)


@contextmanager
def _part_beside(target: Path) -> Iterator[Path]:
    """A path for what is not whole yet; gone at the end, with what a killed run left there."""
    place = target.parent / PLACE
    place.mkdir(exist_ok=True)
    clear(place)
    part = place / f"{os.getpid()}-{uuid4().hex[:12]}"
    try:
        yield part
    finally:
        _remove(part)
        with suppress(OSError):  # another run may write here too
            place.rmdir()


def clear(place: Path) -> None:
    """Remove the parts of runs that have ended."""
    for part in place.iterdir():
        with suppress(OSError):
            if not _is_running(part.name) or time.time() - part.stat().st_mtime > LONGEST_S:
                _remove(part)


def _is_running(part: str) -> bool:
    """Whether the process that a part is named after still runs."""
    number = part.partition("-")[0]
    if not number.isdigit() or os.name != "posix":
        return False
    try:
        os.kill(int(number), 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path, ignore_errors=True)
    else:
        path.unlink(missing_ok=True)


def _write(path: Path, content: bytes, flushed: bool) -> None:
    with path.open("xb") as file:
        file.write(content)
        if flushed:
            file.flush()
            os.fsync(file.fileno())


def _flush_folder(folder: Path) -> None:
    """Put a folder's list of names on the disk, where the system has a way to."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
