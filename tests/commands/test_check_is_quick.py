"""`check` neither sets type nor chooses what to buy, and says the same as the book."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from buildbook.pipeline import look_over

ROOT = Path(__file__).parents[2]
MOTORCYCLE = ROOT / "tests" / "vehicles" / "motorcycle"


def test_check_does_not_import_what_sets_the_book():
    code = (
        "import sys\n"
        "from click.testing import CliRunner\n"
        "from buildbook.cli import main\n"
        "ran = CliRunner().invoke(main, ['check', sys.argv[1]])\n"
        "assert 'errors' in ran.output, ran.output\n"
        "print(sorted({'weasyprint', 'fontTools', 'pypdf', 'jinja2'} & sys.modules.keys()))\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(MOTORCYCLE)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout.strip() == "[]"


def test_check_finds_what_the_book_prints(motorcycle):
    looked, problems = look_over(MOTORCYCLE)
    assert problems == []
    assert looked.findings == motorcycle.findings
