"""Templates hold layout and words: lines that can be read, and no calculation."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
import weasyprint.urls
from jinja2 import Environment, nodes

from buildbook.book.chapters import powerup, readings, supply
from buildbook.book.page_numbers import PageMap
from buildbook.book.render import LEAST_WEASYPRINT, BookError, weasyprint_module
from buildbook.book.resources import template_folder
from buildbook.book.shared_rows import STATES_ACROSS, state_columns
from buildbook.book.templates import chapter_html, environment, without_edge_space
from buildbook.catalogue.load import fuse_families
from tests.once import undrawn

TEMPLATES = sorted(template_folder().glob("*.html"))
WIDEST = 140
ARITHMETIC = (
    nodes.Add,
    nodes.Sub,
    nodes.Mul,
    nodes.Div,
    nodes.FloorDiv,
    nodes.Mod,
    nodes.Pow,
    nodes.Neg,
)
COUNTED = (0, 1, 2, 3)
"""What a number may be compared with: one thing or several, set side by side or not."""
CHOOSING = {
    *("round", "sort", "groupby", "select", "reject", "selectattr", "rejectattr"),
    *("sum", "min", "max", "int", "float", "unique"),
}
"""Filters that decide what is printed, or how finely: those are the chapters' and formats'."""


def test_there_are_templates_to_look_at():
    assert len(TEMPLATES) > 25


@pytest.mark.parametrize("path", [*template_folder().iterdir()], ids=lambda path: path.name)
def test_a_line_can_be_read_without_scrolling(path):
    lines = enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
    assert [number for number, line in lines if len(line) > WIDEST] == []


def calculations(source: str) -> list[tuple[int, str]]:
    """Line and kind of what a template works out itself."""
    plain = Environment(extensions=["jinja2.ext.i18n"])
    plain.newstyle_gettext = True
    tree = plain.parse(source)
    found = [(node.lineno, type(node).__name__) for node in tree.find_all(ARITHMETIC)]
    for node in tree.find_all(nodes.Compare):
        for operand in node.ops:
            value = operand.expr.value if isinstance(operand.expr, nodes.Const) else None
            if isinstance(value, int | float) and value not in COUNTED:
                found.append((node.lineno, f"{operand.op} {value}"))
    found += [(n.lineno, n.name) for n in tree.find_all(nodes.Filter) if n.name in CHOOSING]
    return found


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_an_imported_template_is_filled_anew_in_each_language(path):
    """Jinja keeps what is imported without its context, and so the language of its first words."""
    plain = Environment(extensions=["jinja2.ext.i18n"])
    tree = plain.parse(path.read_text(encoding="utf-8"))
    imports = [*tree.find_all(nodes.Import), *tree.find_all(nodes.FromImport)]
    assert [node.lineno for node in imports if not node.with_context] == []


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_a_template_calculates_nothing(path):
    assert calculations(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "source",
    [
        "{{ volts * 1000 }}",
        "{% if amps >= 0.0005 %}x{% endif %}",
        "{% for row in rows|sort %}{{ row }}{% endfor %}",
        "{{ (share * 100)|round(2) }}",
    ],
)
def test_a_calculation_would_be_found(source):
    assert calculations(source)


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_no_template_states_a_constant_of_the_sums(path):
    text = path.read_text(encoding="utf-8")
    assert re.findall(r"234\.5|254\.5|0\.0002|0\.42\b|50.927", text) == []


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_every_template_can_be_read(path):
    environment().get_template(path.name)


def test_every_family_of_fuses_carries_what_the_page_says_of_all():
    """'A fuse carries for ever three quarters of its rating, less 0.15 % for each degree …'"""
    families = fuse_families().values()
    assert {family.continuous_share for family in families} == {0.75}
    assert len({family.lost_per_k for family in families}) == 1


@pytest.mark.parametrize("maker", [readings.chapters, supply.chapters, powerup.chapters])
def test_every_state_has_its_place_in_a_table_of_readings(motorcycle, maker):
    (chapter,) = maker(motorcycle, undrawn(motorcycle))
    vehicle = motorcycle.vehicle.description.vehicle
    text = chapter_html(chapter, 1, (chapter,), vehicle, PageMap(), motorcycle.vehicle.supply)
    assert all(re.search(rf"<th[^>]*>(.*<br>)?{s}", text) for s in motorcycle.vehicle.states)


def test_states_without_a_column_of_their_own_stand_below_others():
    names = [f"state {n}" for n in range(2 * STATES_ACROSS + 1)]
    columns = state_columns(names)
    assert [state for column in columns for state in column] == names
    assert len(columns) <= STATES_ACROSS
    assert state_columns(["off", "on"]) == (("off",), ("on",))


def test_a_weasyprint_that_is_too_old_is_named_with_what_to_type(monkeypatch):
    """Before version 68 it has no fetcher that can be narrowed."""
    monkeypatch.delattr(weasyprint.urls, "URLFetcher")
    asked = rf"WeasyPrint \d.*too old.*\n    python -m pip install 'weasyprint>={LEAST_WEASYPRINT}'"
    with pytest.raises(BookError, match=asked):
        weasyprint_module()


def test_the_oldest_weasyprint_asked_for_is_the_declared_one():
    project = Path(__file__).parents[2] / "pyproject.toml"
    needed = tomllib.loads(project.read_text(encoding="utf-8"))["project"]["dependencies"]
    assert f"weasyprint>={LEAST_WEASYPRINT}" in needed


def test_a_template_s_indentation_is_no_space_at_the_edge_of_a_cell():
    cell = '<td class="n">\n    switch-22 <b>with lock</b>\n    <br>\n    Colours: red\n</td>'
    assert (
        without_edge_space(cell) == '<td class="n">switch-22 <b>with lock</b><br>Colours: red</td>'
    )


def test_space_between_words_and_no_break_spaces_stay():
    line = "<p>\u00a0one\n  <span>two</span> <em>three</em>\u00a0</p>"
    assert without_edge_space(line) == line
