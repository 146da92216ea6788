"""Arrays that were worked out once, kept as all is that is kept."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

import numpy as np

from buildbook.files import kept


def cached(key: str) -> dict[str, np.ndarray] | None:
    """What was stored under a name; None where nothing is, or nothing that can be read.

    Only plain arrays are read, never objects: a file that was tampered with runs nothing.
    """
    content = kept.find(key)
    if content is None:
        return None
    try:
        with np.load(io.BytesIO(content), allow_pickle=False) as file:
            return {name: file[name] for name in file.files}
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None


def store(key: str, arrays: Mapping[str, np.ndarray]) -> None:
    """Keep arrays under a name, and no more in all than may be kept."""
    buffer = io.BytesIO()
    np.savez(buffer, **arrays)  # type: ignore[arg-type]  # no array is called allow_pickle
    kept.keep(key, buffer.getvalue())
    kept.trim()
