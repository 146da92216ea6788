"""Rows of tables, known again by what they say."""

from __future__ import annotations

from buildbook.book.table_rows import with_rows_named

TABLE = "<table><thead><tr><th>Wire</th></tr></thead><tbody>{}</tbody></table>"


def hashes(*rows: str) -> list[str]:
    _, found = with_rows_named("use", TABLE.format("".join(rows)))
    return [hash_ for _, hash_ in found]


def test_a_row_keeps_its_hash_while_its_words_stay():
    plain = "<tr><td>103</td><td>2500 mm</td></tr>"
    (one,) = hashes(plain)
    assert hashes('<tr id="wire-103" class="first"><td> 103 </td>\n<td>2500 mm</td></tr>') == [one]
    assert hashes(plain.replace("2500", "3200")) != [one]
    assert hashes("<tr><td>1032500</td><td> mm</td></tr>") != [one]


def test_pages_and_lines_of_the_description_are_not_what_a_row_says():
    row = "<tr><td>lamp {}</td><td>Found (vehicle.yaml:{}:9)</td></tr>"
    page = '<a class="page room" href="book:x" style="min-width: 2em">{}</a>'
    one = hashes(row.format(page.format("4–1"), 48))
    assert hashes(row.format(page.format("10–12"), 49)) == one


def test_every_row_of_a_body_becomes_an_anchor_and_heads_do_not():
    html, found = with_rows_named(
        "use", TABLE.format('<tr id="wire-1"><td>1</td></tr><tr><td>2</td></tr>')
    )
    assert [anchor for anchor, _ in found] == ["wire-1", "row-use-1"]
    assert 'id="row-use-1"' in html and html.count("id=") == 2
