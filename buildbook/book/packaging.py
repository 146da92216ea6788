"""Build step that carries the templates, which stand at the top of the repository, in the wheel."""

from __future__ import annotations

import shutil
from pathlib import Path

from setuptools.command.build_py import build_py

TEMPLATES = Path("templates")


class BuildWithTemplates(build_py):
    """build_py that also copies templates/ to buildbook/templates/."""

    def run(self) -> None:
        super().run()
        if not self.editable_mode:
            target = Path(self.build_lib) / "buildbook" / "templates"
            shutil.copytree(TEMPLATES, target, dirs_exist_ok=True)

    def get_source_files(self) -> list[str]:
        """Sources of the distribution: the templates belong to them."""
        carried = sorted(str(path) for path in TEMPLATES.iterdir() if path.is_file())
        return [*super().get_source_files(), *carried]
