"""What the editions of a vehicle's book say, chapter by chapter, before they are pages."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from html import unescape
from pathlib import Path

from buildbook.book.drawings import Drawings
from buildbook.book.editions import EDITIONS, Edition, chapters_of, helper_pack
from buildbook.book.jobs import Filler
from buildbook.result import Result
from buildbook.words.say import in_language
from tests.conftest import result_of

HEAD = re.compile(r"<style.*?</style>|<title.*?</title>|<!DOCTYPE[^>]*>", re.DOTALL)
BLOCK = re.compile(r"</?(?:td|th|p|li|ul|ol|dt|dd|dl|h[1-6]|div|caption|tr|table|text|br)\b[^>]*>")
TAG = re.compile(r"<[^>]*>")


def in_language_of(folder: Path, into: Path, code: str = "de") -> Path:
    """A copy of a vehicle whose book is to be in this language."""
    shutil.copytree(folder, into, dirs_exist_ok=True)
    head = into / "vehicle.yaml"
    text = re.sub(r"^  language: .*\n", "", head.read_text("utf-8"), flags=re.M)
    text = re.sub(r"^vehicle:\n", f"vehicle:\n  language: {code}\n", text, flags=re.M)
    head.write_text(text, "utf-8")
    return into


def editions_of(result: Result) -> dict[str, Edition]:
    """Every edition by its name, a helper's pack for each harness."""
    named = {name: edition for name, edition in EDITIONS.items() if name != "helper"}
    packs = {
        f"helper-{harness}": helper_pack(harness) for harness in result.vehicle.description.rope
    }
    return {**named, **packs}


def chapters_said(folder: Path) -> Iterator[tuple[str, str, str]]:
    """Edition, chapter and text of everything that is printed, a line for each block or label."""
    yield from chapters_of_result(result_of(folder))


def chapters_of_result(result: Result) -> Iterator[tuple[str, str, str]]:
    """The same of a vehicle that is worked out."""
    drawings = Drawings(result)
    vehicle, supply = result.vehicle.description.vehicle, result.vehicle.supply
    with in_language(vehicle.language):
        for name, edition in editions_of(result).items():
            chapters = chapters_of(edition, result, drawings)
            filler = Filler(chapters, vehicle, supply, edition.absent)
            for place, chapter in enumerate(chapters):
                counts = {n: 1 for n in range(len(chapters))} if chapter.lists_pages else None
                job = filler.job(place, counts)
                yield name, chapter.name, text_of(job.html)
                for drawing, svg in job.files.items():
                    yield name, drawing, text_of(svg)


def text_of(markup: str) -> str:
    """The words of HTML or SVG, a line for each block, cell or label."""
    blocks = BLOCK.split(HEAD.sub("", markup))
    lines = (" ".join(unescape(TAG.sub("", block)).split()) for block in blocks)
    return "\n".join(line for line in lines if line)
