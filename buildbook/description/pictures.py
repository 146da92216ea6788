"""Reads the pictures that notes name: by their content, of a size that a book can hold."""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from buildbook.problem import Problem, Where

NAMED = re.compile(r"!\[[^\]\n]*\]\(\s*<?([^)\s>]+)>?[^)\n]*\)")
"""A picture in Markdown; the group is where it says it is."""
MOST_BYTES = 16_000_000
MOST_PIXELS = 60_000_000
"""More than any telephone takes; a small file may claim to be far larger (our choice)."""
LONGEST_PX = 1400
"""300 dots an inch on 119 mm of paper, which is as wide as a note is read (our choice)."""


def pictures_of(
    folder: Path, name: str, text: str, known: dict[str, str]
) -> tuple[dict[str, str], list[Problem]]:
    """The pictures of a note called `name`: as the text names each -> its `data:` address.

    A name is looked for beside the note, then in the folder. What is `known` is not read again.
    """
    found: dict[str, str] = {}
    problems: list[Problem] = []
    for match in NAMED.finditer(text):
        before = text[: match.start(1)]
        where = Where(name, before.count("\n") + 1, match.start(1) - before.rfind("\n"))
        said = match[1]
        if said in known or said in found:
            continue
        beside = (folder / name).parent / said
        path = beside if ":" not in said and beside.is_file() else folder / said
        if ":" in said or not path.resolve().is_relative_to(folder.resolve()):
            what = f"the picture `{said[:60]}` lies outside the vehicle folder"
            hint = "copy it into the folder, and write its name there"
            problems.append(Problem(where, what, "nothing is fetched from elsewhere", hint))
        elif not path.is_file():
            what = f"no picture `{said}` in the folder"
            problems.append(Problem(where, what, "", "write its name as it stands in the folder"))
        else:
            try:
                found[said] = _prepared(path)
            except ValueError as error:
                why = "only photos and drawings that every reader can show are printed"
                problems.append(Problem(where, f"`{said}`: {error}", why, "save it as JPEG or PNG"))
    return found, problems


def _prepared(path: Path) -> str:
    """A picture as it goes into the book; ValueError says why it cannot.

    It is what its content says, not its name; turned as its camera says, at most `LONGEST_PX`
    long, and without anything that it says of its place, time or camera.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    if path.stat().st_size > MOST_BYTES:
        raise ValueError(f"it is larger than {MOST_BYTES // 1_000_000} MB")
    try:
        with _only_whole(), Image.open(path, formats=("JPEG", "PNG")) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise ValueError(f"it has more than {MOST_PIXELS // 1_000_000} million pixels")
            is_photo = opened.format == "JPEG"
            turned = ImageOps.exif_transpose(opened)
            turned.thumbnail((LONGEST_PX, LONGEST_PX))
            plain = Image.new("RGB", turned.size, "white")
            shown = turned.convert("RGBA")
            plain.paste(shown, mask=shown.getchannel("A"))
    except UnidentifiedImageError:
        raise ValueError("it is neither JPEG nor PNG inside") from None
    except (OSError, SyntaxError, Image.DecompressionBombError) as error:
        raise ValueError(f"it cannot be read ({error})") from None
    written = io.BytesIO()
    if is_photo:
        plain.save(written, "JPEG", quality=85)
    else:
        plain.save(written, "PNG", optimize=True)
    sort = "jpeg" if is_photo else "png"
    return f"data:image/{sort};base64,{base64.b64encode(written.getvalue()).decode()}"


@contextmanager
def _only_whole() -> Iterator[None]:
    """Half a file is no picture, whatever the typesetter tells the library of pictures to take."""
    from PIL import ImageFile

    before = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before


def with_pictures(text: str, pictures: dict[str, str]) -> str:
    """A note with its pictures in it; those that are not there stay as they are written."""

    def put(match: re.Match[str]) -> str:
        address = pictures.get(match[1])
        return match[0] if address is None else match[0].replace(match[1], address, 1)

    return NAMED.sub(put, text)
