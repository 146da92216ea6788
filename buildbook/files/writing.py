"""Writes a file or a folder in one move, so that it is never half there."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path


def write_file(target: Path, content: bytes) -> None:
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


def write_folder(out: Path, files: Mapping[str, str]) -> None:
    """Write `files` under `out` in one move, so that it is never half there."""
    out.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=out.parent) as temporary:
        whole = Path(temporary) / "export"
        for name, content in files.items():
            path = whole / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content, encoding="utf-8")
        if out.exists():
            out.rmdir()
        shutil.move(whole, out)
