"""Arrays that were worked out once, in the user's cache folder, found again by their origin."""

from __future__ import annotations

import hashlib
import io
import os
import zipfile
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path

import numpy as np

from buildbook.files.writing import write_file

MOST_CACHED = 4
"""Files that stay; the one that was longest not asked for goes first."""


def cache_folder() -> Path:
    """`$XDG_CACHE_HOME/buildbook`, or `~/.cache/buildbook` (XDG base directory specification)."""
    home = os.environ.get("XDG_CACHE_HOME", "")
    base = Path(home) if os.path.isabs(home) else Path.home() / ".cache"
    return base / "buildbook"


@cache
def _program() -> bytes:
    """Hash of everything the program consists of: another program finds nothing of this one's."""
    digest = hashlib.sha256(np.__version__.encode())
    package = Path(__file__).parents[1]
    for path in sorted(package.rglob("*")):
        if path.suffix in (".py", ".yaml") and path.is_file():
            digest.update(path.relative_to(package).as_posix().encode() + b"\0")
            digest.update(path.read_bytes())
    return digest.digest()


def key_of(parts: Iterable[object]) -> str:
    """Name of what follows from these and from the program; their `repr` must say it all."""
    digest = hashlib.sha256(_program())
    for part in parts:
        digest.update(repr(part).encode() + b"\0")
    return digest.hexdigest()


def cached(key: str) -> dict[str, np.ndarray] | None:
    """What was stored under a name; None where nothing is, or nothing that can be read.

    Only plain arrays are read, never objects: a file that was tampered with runs nothing.
    """
    path = cache_folder() / f"{key}.npz"
    try:
        with np.load(path, allow_pickle=False) as file:
            found = {name: file[name] for name in file.files}
        os.utime(path)
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None
    return found


def store(key: str, arrays: Mapping[str, np.ndarray]) -> None:
    """Write arrays under a name, whole; where nothing can be written nothing is stored."""
    buffer = io.BytesIO()
    np.savez(buffer, **arrays)  # type: ignore[arg-type]  # no array is called allow_pickle
    folder = cache_folder()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        write_file(folder / f"{key}.npz", buffer.getvalue())
        by_age = sorted(folder.glob("*.npz"), key=lambda path: path.stat().st_mtime)
        for path in by_age[:-MOST_CACHED]:
            path.unlink(missing_ok=True)
    except OSError:
        return
