"""What was worked out once, in the user's cache folder, found again by what it follows from."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sys
from collections.abc import Iterable
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from buildbook.files.writing import write_file

MOST_BYTES = 256 * 2**20
"""What may be kept: some twenty books with all that they are made of, or seven broken cars. What
was longest not asked for goes first."""
DIGEST_BYTES = 32
LENGTH_BYTES = 8


def cache_folder() -> Path:
    """`$XDG_CACHE_HOME/buildbook`, or `~/.cache/buildbook` (XDG base directory specification)."""
    home = os.environ.get("XDG_CACHE_HOME", "")
    base = Path(home) if os.path.isabs(home) else Path.home() / ".cache"
    return base / "buildbook"


LIBRARIES = ("numpy", "scipy", "networkx", "pydantic", "pint", "markdown-it-py", "svgwrite")
"""What the sums, drawings and words follow from, beside what sets them."""


@cache
def _program() -> bytes:
    """Hash of everything the program consists of: another program finds nothing of this one's."""
    digest = hashlib.sha256(sys.version.encode())
    for library in LIBRARIES:
        digest.update(f"{library} {version(library)}\0".encode())
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


def find(key: str) -> bytes | None:
    """What was kept under a name; None where nothing is, or not what was put there."""
    path = cache_folder() / key
    try:
        whole = path.read_bytes()
        os.utime(path)
    except OSError:
        return None
    digest, content = whole[:DIGEST_BYTES], whole[DIGEST_BYTES:]
    return content if hashlib.sha256(content).digest() == digest else None


def keep(key: str, content: bytes) -> None:
    """Keep something, whole; where nothing can be written nothing is kept."""
    try:
        cache_folder().mkdir(mode=0o700, parents=True, exist_ok=True)
        write_file(cache_folder() / key, hashlib.sha256(content).digest() + content, flushed=False)
    except OSError:
        return


def labelled(label: object, content: bytes) -> bytes:
    """Content after what is said of it: the label as JSON, after its length."""
    text = json.dumps(label).encode()
    return len(text).to_bytes(LENGTH_BYTES, "big") + text + content


def label_and_content(whole: bytes) -> tuple[Any, bytes]:
    """The two that `labelled` put together; ValueError for anything else."""
    end = LENGTH_BYTES + int.from_bytes(whole[:LENGTH_BYTES], "big")
    return json.loads(whole[LENGTH_BYTES:end]), whole[end:]


def trim(most_bytes: int = MOST_BYTES) -> None:
    """Let go of what was longest not asked for, until no more than so many bytes are kept."""
    found = []
    for path in cache_folder().rglob("*"):
        try:
            about = path.stat()
        except OSError:
            continue
        if path.is_file():
            found.append((about.st_mtime, path, about.st_size))
    total = sum(size for _time, _path, size in found)
    for _time, path, size in sorted(found):
        if total <= most_bytes:
            return
        try:
            path.unlink(missing_ok=True)
        except OSError:
            continue
        total -= size


def forget() -> int:
    """Let go of everything in the cache folder; returns how many files that were."""
    folder = cache_folder()
    count = sum(path.is_file() for path in folder.rglob("*"))
    if folder.is_dir():
        shutil.rmtree(folder)
    return count
