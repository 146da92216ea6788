"""A browser for the tests of the phone edition, and the file that it opens."""

from __future__ import annotations

import pytest

from buildbook.phone.page import make_phone
from tests.once import drawings_of
from tests.phone.browser import browser_found, browsing


@pytest.fixture(scope="session")
def page():
    """A page of a phone's size in a headless browser."""
    if browser_found() is None:
        pytest.skip("no chromium is installed: nothing can open the phone edition")
    with browsing() as opened:
        yield opened


@pytest.fixture(scope="session")
def sandpiper(motorcycle, tmp_path_factory):
    """The motorcycle's phone edition."""
    target = tmp_path_factory.mktemp("phone") / "sandpiper-phone.html"
    return make_phone(motorcycle, drawings_of(motorcycle), target)


@pytest.fixture
def opened(page, sandpiper):
    """The motorcycle's phone edition, opened from its file on a light screen."""
    page.events.clear()
    page.media()
    page.open(sandpiper)
    return page
