"""Which tests one worker runs together, so that what they share is made once, not once a worker.

By their ids alone, because that is all that whoever shares them out knows of them.
"""

from __future__ import annotations

VEHICLES = "lapwing", "motorcycle", "starter", "two_wire"
DRAWN = {
    "tests/book/test_book.py": "two_wire",
    "tests/book/test_links.py": "two_wire",
    "tests/book/test_continuations.py": "lapwing",
    "tests/book/test_everything_is_in_the_book.py": "lapwing",
    "tests/book/test_margins.py": "lapwing",
    "tests/book/test_page_breaks.py": "two_wire",
    "tests/book/test_one_place_one_value.py": "lapwing",
    "tests/drawing/test_legible.py": "lapwing",
    "tests/drawing/harness/test_layout.py": "lapwing",
}
"""Files that read a vehicle's drawings or book, and whose where a test's parameters do not say."""
SWEPT = {f"tests/faultfinding/test_{name}.py" for name in ("sweep", "diagnosis", "fault_voltages")}
MADE_UP = "tests/drawing/test_generated.py"
FIRST = (
    "lapwing drawn",
    "motorcycle drawn",
    "starter drawn",
    "tests/example/test_seeded_mistakes.py",
    "tests/example/test_a_change_follows_through.py",
    "made up [controller of 80 pins]",
    "made up [300 circuits]",
    "tests/book/test_order_pack.py",
    "tests/book/test_trackside.py",
)
"""What takes longest is begun first, so that both workers end together."""


def group_of(test: str) -> str:
    """The group that a test of that id runs in: a vehicle's, a made-up shape's or its file's."""
    file, _, name = test.partition("::")
    parameters = name[name.find("[") :] if "[" in name else ""
    if file in DRAWN:
        return next((v for v in VEHICLES if v in parameters), DRAWN[file]) + " drawn"
    if file == MADE_UP:
        return f"made up {parameters}"
    return "swept" if file in SWEPT else file


def place_of(test: str) -> int:
    """The place of the test's group among those that are begun first."""
    group = group_of(test)
    return FIRST.index(group) if group in FIRST else len(FIRST)
