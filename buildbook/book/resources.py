"""Where the templates and the fonts are, in a source tree and in an installed package."""

from __future__ import annotations

from pathlib import Path

from buildbook.catalogue.typeface import font_folder

WEIGHTS = {"Regular": (400, "normal"), "Bold": (700, "normal"), "Italic": (400, "italic")}
"""Faces of Roboto in use: CSS weight and style."""


NO_FONTS = Path(__file__).with_name("no-fonts.conf")
"""Tells the machine's font library of no font: pages have those that they name, and no other."""


def template_folder() -> Path:
    """Folder of the templates: beside the package in a source tree, inside it when installed."""
    package = Path(__file__).resolve().parents[1]
    inside, beside = package / "templates", package.parent / "templates"
    return inside if inside.is_dir() else beside


def font_files() -> dict[str, Path]:
    """Roboto's faces in use: name -> TTF file of the font package."""
    folder = font_folder()
    return {name: folder / f"Roboto-{name}.ttf" for name in WEIGHTS}
