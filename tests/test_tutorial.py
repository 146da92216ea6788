"""The README's first book, command by command as it stands there."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pypdfium2

README = Path(__file__).parents[1] / "README.md"
PROGRAM = ".venv/bin/buildbook"
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def tutorial() -> list[tuple[str, str]]:
    """Language and text of the blocks of the chapter, in their order."""
    text = README.read_text(encoding="utf-8")
    chapter = text.partition("\n## From rope to printed pages\n")[2].partition("\n## ")[0]
    return BLOCK.findall(chapter)


def run(line, typed, folder, cache):
    words = shlex.split(line)
    assert words[0] == PROGRAM
    return subprocess.run(
        [sys.executable, "-m", "buildbook", *words[1:]],
        input=typed,
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=1200,
        env={
            "PATH": "/usr/bin:/bin",
            "PYTHONPATH": str(README.parent),
            "XDG_CACHE_HOME": str(cache),
            "LANG": "C.UTF-8",
        },
    )


def test_the_first_book_is_made_as_the_readme_says(tmp_path):
    blocks = tutorial()
    said = {}
    for place, (language, text) in enumerate(blocks):
        if language == "yaml":
            name, _, _ = text.partition("\n")
            (tmp_path / name.removeprefix("# ")).write_text(text, encoding="utf-8")
        if language != "sh":
            continue
        after = blocks[place + 1] if place + 1 < len(blocks) else ("", "")
        for line in text.splitlines():
            done = run(line, after[1] if after[0] == "text" else "", tmp_path, tmp_path / "cache")
            assert done.returncode == 0, f"{line}\n{done.stdout}\n{done.stderr}"
            said[line.removeprefix(PROGRAM).split()[0]] = done.stdout
    assert list(said) == ["new", "show", "check", "make", "measure"]
    assert "0 errors" in said["check"] and "to do: lay ropes" in said["check"]
    assert "work-lamp:" in said["show"]

    rope = (tmp_path / "my-car" / "rope.yaml").read_text()
    first, second = [line for line in rope.splitlines() if "{from: panel" in line][:2]
    assert "length: 640 mm" in first and "clamps: 2" in first and "grommet: 120 mm" in first
    assert "length: 647.7 mm" in second and "known: measured" in second  # 25.5 in by definition
    sheet, book = (
        pypdfium2.PdfDocument(tmp_path / "output" / name)
        for name in ("my-car-ropes.pdf", "my-car.pdf")
    )
    assert len(book) > 20 > len(sheet)
    printed = "".join(page.get_textpage().get_text_bounded() for page in book)
    assert "Work lamp" in printed and "Ground in the boot" in printed
