"""Writes a file in one move, so that it is never half there."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(target: Path, content: bytes) -> None:
    """Write the file under another name beside it first; a link is not followed."""
    target.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=target.parent, prefix=".whole-", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        os.chmod(temporary, 0o644)
        os.replace(temporary, target)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
