"""The pieces of the book machinery: what is served, escaped, linked, formatted and written."""

from __future__ import annotations

import io
import re
from decimal import Decimal

import pytest
from pypdf import PdfReader

from buildbook.book import render
from buildbook.book.chapter import anchor
from buildbook.book.formats import amps, money, number
from buildbook.book.join import alone
from buildbook.book.render import BookError, Job, served
from buildbook.book.resources import font_files, template_folder
from buildbook.book.templates import author_text, css_string, link
from buildbook.files.writing import write_file
from tests.book.typeface import TYPEFACE


@pytest.mark.parametrize(
    "url",
    [
        "http://example.org/a.png",
        "https://example.org/",
        "file:///etc/passwd",
        "drawing:other",
        "data:text/plain,x",
    ],
)
def test_pages_are_served_nothing_from_outside(url):
    with pytest.raises(ValueError, match="not served"):
        served(url, {"mine": "<svg/>"})


def test_a_path_out_of_the_templates_is_not_served():
    with pytest.raises(ValueError, match="not served"):
        served(f"{template_folder().as_uri()}/../pyproject.toml", {})


def test_fonts_and_given_drawings_are_served():
    assert served("drawing:mine", {"mine": "<svg/>"}) == (b"<svg/>", "image/svg+xml")
    for path in font_files().values():
        assert served(path.as_uri(), {})[0] == path.read_bytes()


def test_anchors_of_different_names_differ():
    names = ["X1/engine", "X1.engine", "X1 engine", "X1_engine", "X1-engine", "X1_2f_engine"]
    assert len({anchor("connector", name) for name in names}) == len(names)


def test_author_text_has_no_raw_html_script_links_or_images():
    html = str(author_text("# A\n<script>x</script> [a](javascript:x) ![p](http://e.org/p.png)"))
    assert "<script" not in html and "<img" not in html and 'href="javascript' not in html
    assert "<h4>" in html


def test_names_are_escaped_in_links():
    assert "<b>" not in str(link("device", "<b>", "<b>"))


def test_text_cannot_leave_its_quotes_in_the_style_sheet():
    inside = str(css_string('a" ; } </style> \\22 \n b'))[1:-1]
    assert not set('"\n<') & set(inside)
    assert "\\" not in re.sub(r"\\[0-9a-f]+ ", "", inside), "each backslash begins a code"


def test_numbers_as_printed():
    assert number(-0.001) == "0.00"
    assert number(-1.5, 1) == "−1.5"
    assert amps(0.0421) == "42 mA"
    assert amps(-0.000012) == "−12 µA"
    assert amps(3e-8) == "0.00 A"
    assert amps(8.5) == "8.50 A"
    assert money(None) == "missing"
    assert money(Decimal("2")) == "2.00"


def test_a_failed_write_leaves_the_old_book_and_nothing_else(tmp_path, monkeypatch):
    out = tmp_path / "book.pdf"
    out.write_bytes(b"old")

    def fails(_from, _to):
        raise OSError("disk")

    monkeypatch.setattr("os.replace", fails)
    with pytest.raises(OSError, match="disk"):
        write_file(out, b"new")
    assert out.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [out]


def test_missing_pango_is_a_message_with_the_line_to_type(monkeypatch):
    import builtins

    real = builtins.__import__

    def without(name, *rest, **more):
        if name == "weasyprint":
            raise OSError("cannot load library 'libpango-1.0-0'")
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(BookError, match="sudo apt-get install -y libpango-1.0-0"):
        render.weasyprint_module()


def test_text_is_set_in_the_packaged_font_only():
    rendered = render.render(Job("one", f"{TYPEFACE}<p>x", {}))
    page = PdfReader(io.BytesIO(alone(rendered))).pages[0]
    fonts = [font.get_object()["/BaseFont"] for font in page["/Resources"]["/Font"].values()]
    assert len(fonts) == 1
    assert "Roboto" in fonts[0]
    assert rendered.pages == 1
