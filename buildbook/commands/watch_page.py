"""The page that `watch --serve` shows on this machine alone: findings first, the book below."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING, Any

from buildbook.commands.print_messages import Unclear
from buildbook.problem import Problem

if TYPE_CHECKING:
    from buildbook.checks.stages import Checked

LOOPBACK = "127.0.0.1"
"""Nobody on the network can ask for what is here."""
KINDS = {".pdf": "application/pdf", ".html": "text/html; charset=utf-8"}


@dataclass
class Page:
    """What the page shows now; each part has a number that grows when it is another."""

    makes_book: bool = True
    name: str = ""
    said: tuple[Problem, ...] = ()
    rows: list[dict[str, Any]] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=dict)
    made: Path | None = None
    state: dict[str, int] = field(default_factory=lambda: {"findings": 0, "book": 0})

    def problems(self, problems: Sequence[Problem]) -> None:
        """Show why the description cannot be worked out."""
        self.said = tuple(problems)
        self.state["findings"] += 1

    def findings(self, checked: Checked) -> None:
        """Show what is found, the causes first."""
        from buildbook.checks.causes import roots_and_counts
        from buildbook.checks.model import SEVERITIES, count_by_severity
        from buildbook.export.findings import rows_of

        roots = [f for f, _ in roots_and_counts(checked.findings) if not f.waived]
        roots.sort(key=lambda f: SEVERITIES.index(f.severity))
        self.name = checked.vehicle.description.vehicle.name
        words = checked.vehicle.measures.words
        self.said, self.rows = (), rows_of(roots)
        for row in self.rows:
            row |= {key: words(row[key]) for key in ("text", "remedy")}
        self.counts = count_by_severity(checked.findings)
        self.state["findings"] += 1

    def book(self, made: Path) -> None:
        """Show the book that is done."""
        self.made = made
        self.state["book"] += 1

    def html(self, part: str = "watch.html") -> bytes:
        """The page, or a part of it."""
        from buildbook.book.templates import environment

        return environment().get_template(part).render(page=self).encode()


@contextmanager
def served(page: Page, port: int | None, wanted: bool) -> Iterator[str]:
    """Serve the page while the block runs; its address, '' where it is not wanted.

    Raises Unclear where the port is taken.
    """
    if not wanted:
        yield ""
        return
    try:
        server = ThreadingHTTPServer((LOOPBACK, port or 0), handler_of(page))
    except OSError as error:
        raise Unclear(
            f"--port {port}: nothing can be served there ({error.strerror})",
            "leave --port out: a free one is found",
        ) from None
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://{LOOPBACK}:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()


def handler_of(page: Page) -> type[BaseHTTPRequestHandler]:
    """Answers for one page; to whoever asks for this machine under another name, nothing."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            where = self.path.partition("?")[0]
            own = {f"{name}:{self.connection.getsockname()[1]}" for name in (LOOPBACK, "localhost")}
            if self.headers.get("Host") not in own:
                self.send_error(403)
            elif where == "/":
                self._give("text/html; charset=utf-8", page.html())
            elif where == "/findings":
                self._give("text/html; charset=utf-8", page.html("watch_findings.html"))
            elif where == "/state":
                self._give("application/json", json.dumps(page.state).encode())
            elif where == "/book" and page.made is not None and page.made.is_file():
                self._give(KINDS[page.made.suffix], page.made.read_bytes())
            else:
                self.send_error(404)

        def _give(self, kind: str, content: bytes) -> None:
            self.send_response(200)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(content)))
            self.send_header("Cache-Control", "no-store")
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, format: str, *args: object) -> None:
            """Nothing: the terminal is for what changed."""

    return Handler
