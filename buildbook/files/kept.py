"""What was made once, kept in the user's cache folder under the name of what it follows from."""

from __future__ import annotations

import hashlib
import os
import shutil
from pathlib import Path

from buildbook.files.array_cache import cache_folder
from buildbook.files.writing import write_file

MOST_BYTES = 256 * 2**20
"""What may be kept: some thirty books. What was longest not asked for goes first."""
DIGEST_BYTES = 32


def kept_folder() -> Path:
    """Where it is kept, beside the arrays."""
    return cache_folder() / "kept"


def find(key: str) -> bytes | None:
    """What was kept under a name; None where nothing is, or not what was put there."""
    path = kept_folder() / key
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
        kept_folder().mkdir(mode=0o700, parents=True, exist_ok=True)
        write_file(kept_folder() / key, hashlib.sha256(content).digest() + content)
    except OSError:
        return


def trim(most_bytes: int = MOST_BYTES) -> None:
    """Let go of what was longest not asked for, until no more than so many bytes are kept."""
    found = []
    for path in kept_folder().glob("*"):
        try:
            about = path.stat()
        except OSError:
            continue
        found.append((about.st_mtime, path, about.st_size))
    total = sum(size for _time, _path, size in found)
    for _time, path, size in sorted(found):
        if total <= most_bytes:
            return
        path.unlink(missing_ok=True)
        total -= size


def forget() -> int:
    """Let go of everything in the cache folder; returns how many files that were."""
    folder = cache_folder()
    count = sum(path.is_file() for path in folder.rglob("*"))
    if folder.is_dir():
        shutil.rmtree(folder)
    return count
