"""Pictures in notes: read by their content, turned, stripped, and none from elsewhere."""

from __future__ import annotations

import base64
import io
from pathlib import Path

import pytest
from PIL import Image, ImageFile

from buildbook.book.render import served
from buildbook.book.templates import author_text
from buildbook.description import pictures
from buildbook.description.pictures import pictures_of, with_pictures
from buildbook.description.read import read_folder
from tests.description.short import DEVICES, folder

CAMERA_HELD_UPRIGHT = 6
"""Orientation of EXIF 2.3: the top of the scene is the first column of what is stored."""


def photo(path: Path) -> Path:
    """Wide as stored, red at its left edge; EXIF says that the left edge was the top."""
    image = Image.new("RGB", (400, 200), "blue")
    image.paste((255, 0, 0), (0, 0, 100, 200))
    exif = Image.Exif()
    exif[0x0112] = CAMERA_HELD_UPRIGHT
    exif[0x010F] = "Camera of somebody"
    image.save(path, "JPEG", exif=exif, quality=95)
    return path


def read(address: str) -> Image.Image:
    return Image.open(io.BytesIO(base64.b64decode(address.partition(",")[2])))


def of(tmp_path: Path, text: str) -> tuple[dict[str, str], list[str]]:
    found, problems = pictures_of(tmp_path, "note.md", text, {})
    return found, [p.what for p in problems]


def test_a_photo_is_turned_as_its_camera_says_and_says_nothing_else(tmp_path):
    photo(tmp_path / "p.jpg")
    found, problems = of(tmp_path, "![the panel](p.jpg)")
    assert problems == []
    image = read(found["p.jpg"])
    assert image.format == "JPEG" and image.size == (200, 400)
    red, _, blue = image.getpixel((100, 20))
    assert red > 200 and blue < 60
    raw = base64.b64decode(found["p.jpg"].partition(",")[2])
    assert b"Exif" not in raw and b"somebody" not in raw


def test_it_is_what_its_content_says(tmp_path):
    Image.new("RGBA", (30, 20), (0, 0, 0, 0)).save(tmp_path / "drawing.jpg", "PNG")
    found, problems = of(tmp_path, "![x](drawing.jpg)")
    assert problems == [] and found["drawing.jpg"].startswith("data:image/png")
    assert read(found["drawing.jpg"]).getpixel((5, 5)) == (255, 255, 255)


def test_a_large_photo_is_made_as_small_as_paper_shows(tmp_path):
    Image.new("RGB", (5000, 2500)).save(tmp_path / "p.jpg", "JPEG")
    found, _ = of(tmp_path, "![x](p.jpg)")
    assert read(found["p.jpg"]).size == (pictures.LONGEST_PX, pictures.LONGEST_PX // 2)


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("text.jpg", "it is neither JPEG nor PNG inside"),
        ("short.jpg", "it cannot be read"),
        ("huge.png", "more than 60 million pixels"),
        ("gone.jpg", "no picture `gone.jpg` in the folder"),
        ("../p.jpg", "lies outside the vehicle folder"),
        ("https://example.org/p.jpg", "lies outside the vehicle folder"),
        ("data:image/png;base64,AAAA", "lies outside the vehicle folder"),
    ],
)
def test_what_cannot_be_printed_is_told_at_its_place(tmp_path, monkeypatch, name, says):
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)  # as the typesetter leaves it
    inside = tmp_path / "car"
    inside.mkdir()
    (inside / "text.jpg").write_text("GIF89a and no picture")
    whole = photo(tmp_path / "p.jpg").read_bytes()
    (inside / "short.jpg").write_bytes(whole[: len(whole) // 2])
    Image.new("1", (9000, 9000)).save(inside / "huge.png")
    found, problems = pictures_of(inside, "note.md", f"Look:\n![x]({name})\n", {})
    assert not found and len(problems) == 1
    assert says in problems[0].what
    assert (problems[0].where.line, problems[0].where.column) == (2, 6)


def test_a_note_beside_its_pictures_prints_them(tmp_path):
    made = folder(tmp_path, "notes: [{file: notes/a.md, with: vehicle}]\ncircuits: {}\n", DEVICES)
    (made / "notes").mkdir()
    photo(made / "notes" / "p.jpg")
    text = "![the panel](p.jpg)\n"
    (made / "notes" / "a.md").write_text(text)
    contents, problems = read_folder(made)
    assert contents is not None and not problems, problems
    html = str(author_text(with_pictures(contents.notes["notes/a.md"], contents.pictures)))
    address = html.partition('src="')[2].partition('"')[0]
    data, sort = served(address, {})
    assert sort == "image/jpeg" and read(address).size == (200, 400)
    assert 'alt="the panel"' in html and data[:2] == b"\xff\xd8"


def test_a_picture_from_elsewhere_is_only_its_words():
    html = str(author_text("![the panel](https://example.org/p.jpg)"))
    assert "<img" not in html and "the panel" in html


def test_boxes_are_there_to_tick():
    html = str(author_text("- [ ] clamp\n- [x] label\n- [a](https://example.org) link\n"))
    assert html.count('class="tick"') == 2
    assert "[ ]" not in html and "</span> clamp" in html and ">×</span> label" in html
