"""A browser is what says its version: distributions have stubs of its name that only advise."""

from __future__ import annotations

import pytest

from tests.phone import browser


@pytest.mark.parametrize(("ends", "found"), [(0, True), (1, False)])
def test_a_stub_is_no_browser(tmp_path, monkeypatch, ends, found):
    program = tmp_path / "chromium-browser"
    program.write_text(f"#!/bin/sh\nexit {ends}\n")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    monkeypatch.setattr(browser, "NAMES", ("chromium-browser",))
    assert browser.browser_found.__wrapped__() == (str(program) if found else None)
