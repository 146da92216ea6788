"""What a command says where the program fails: two lines and a report, never a traceback."""

from __future__ import annotations

import platform
import sys
import tempfile
import traceback
from concurrent.futures.process import BrokenProcessPool
from datetime import datetime
from pathlib import Path

from buildbook import __version__
from buildbook.files.kept import cache_folder

EXIT_CODE = 3
FOLDER = "errors"
doing: list[str] = []
"""The steps that were begun, as they were shown; the last is what was being done."""

WORKER = "a process that worked for it was ended from outside, most often because memory ran out"
MEMORY = "memory ran out"


def lines_of(error: BaseException) -> tuple[str, str]:
    """What was being done and why it ended; where the report is."""
    step = doing[-1] if doing else "beginning"
    if isinstance(error, OSError) and error.filename is None and error.strerror:
        return (
            f"buildbook stopped at “{step}”: {error.strerror.lower()} for what it says.",
            "Nothing else was written. Make room there, or send what it says elsewhere.",
        )
    return (
        f"buildbook stopped at “{step}”: {_reason(error)}. Nothing that was there is altered.",
        _where_reported(error),
    )


def _reason(error: BaseException) -> str:
    if isinstance(error, BrokenProcessPool):
        return WORKER
    if isinstance(error, MemoryError):
        return MEMORY
    said = " ".join(str(error).split())[:200]
    return f"a mistake of the program ({type(error).__name__}{': ' + said if said else ''})"


def _where_reported(error: BaseException) -> str:
    text = "\n".join(
        (
            f"buildbook {__version__}, Python {platform.python_version()}, {platform.platform()}",
            f"words: {sys.argv[1:]}",
            f"steps: {doing}",
            "".join(traceback.format_exception(error)),
        )
    )
    name = f"{datetime.now():%Y%m%d-%H%M%S-%f}.txt"
    for folder in (cache_folder() / FOLDER, Path(tempfile.gettempdir())):
        path = folder / f"buildbook-{name}"
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8", errors="backslashreplace")
        except OSError:
            continue
        return f"A report for who mends it is in {path}."
    return "No report could be written: there is no room for one."
