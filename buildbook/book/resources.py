"""Where the templates and the fonts are, in a source tree and in an installed package."""

from __future__ import annotations

import importlib.util
from pathlib import Path

WEIGHTS = {"Regular": (400, "normal"), "Bold": (700, "normal"), "Italic": (400, "italic")}
"""Faces of Roboto in use: CSS weight and style."""


def template_folder() -> Path:
    """Folder of the templates: beside the package in a source tree, inside it when installed."""
    package = Path(__file__).resolve().parents[1]
    inside, beside = package / "templates", package.parent / "templates"
    return inside if inside.is_dir() else beside


def font_files() -> dict[str, Path]:
    """Roboto's faces in use: name -> TTF file of the font package."""
    spec = importlib.util.find_spec("font_roboto")
    if spec is None or spec.origin is None:
        raise FileNotFoundError("the package font-roboto is not installed")
    folder = Path(spec.origin).parent / "files"
    return {name: folder / f"Roboto-{name}.ttf" for name in WEIGHTS}
