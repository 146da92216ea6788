"""Chapters that were set, kept by the content that they follow from: found again, not set again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from buildbook.book.page_references import PageReference
from buildbook.book.pdf_objects import KeptObject
from buildbook.book.render import Bookmark, Job, Rendered, Renderer, Row
from buildbook.book.setting import setting
from buildbook.book.stamps import StampCodes
from buildbook.files import kept


def kept_renderer(
    render_jobs: Renderer,
) -> Renderer:
    """Renders as `render_jobs` does, but only what is not kept, and keeps it."""

    def render(jobs: Iterable[Job]) -> Iterator[Rendered]:
        keys: dict[str, str] = {}
        ready: list[Rendered] = []

        def missing() -> Iterator[Job]:
            for job in jobs:
                keys[job.name] = job_key(job)
                found = kept.find(keys[job.name])
                if found is not None and (rendered := from_bytes(found)) is not None:
                    ready.append(rendered)
                else:
                    yield job

        for rendered in render_jobs(missing()):
            kept.keep(keys[rendered.name], to_bytes(rendered))
            yield rendered
        yield from ready

    return render


def job_key(job: Job) -> str:
    """The name under which a chapter is kept: its text, its drawings, and what sets them."""
    files = tuple(sorted(job.files.items()))
    words = (job.name, job.html, files, job.references, job.stamp, job.rows)
    return kept.key_of((setting(), *words))


def to_bytes(chapter: Rendered) -> bytes:
    """A chapter as bytes: its streams end to end, labelled with all else."""
    about = {
        "name": chapter.name,
        "heights": chapter.heights_pt,
        "anchors": chapter.anchors,
        "bookmarks": [(b.level, b.label, b.page, b.y_pt) for b in chapter.bookmarks],
        "objects": [
            (o.text.decode("latin-1"), None if o.stream is None else len(o.stream), o.packed)
            for o in chapter.objects
        ],
        "pages": chapter.page_objects,
        "faces": chapter.faces,
        "glyphs": {name: [*used.items()] for name, used in chapter.glyphs.items()},
        "references": [(r.code, r.target, r.fixed) for r in chapter.references],
        "unplaced": chapter.unplaced,
        "stamp": [*chapter.stamp.by_kind.values()] if chapter.stamp else None,
        "rows": [(r.page, r.x, r.top, r.foot, r.hash) for r in chapter.rows],
    }
    streams = b"".join(one.stream for one in chapter.objects if one.stream is not None)
    return kept.labelled(about, streams)


def from_bytes(whole: bytes) -> Rendered | None:
    """The chapter that `to_bytes` wrote; None for anything else. Only data is read, no program."""
    try:
        about, streams = kept.label_and_content(whole)
        objects, at = [], 0
        for text, size, packed in about["objects"]:
            stream = None if size is None else streams[at : at + size]
            at += size or 0
            objects.append(KeptObject(text.encode("latin-1"), stream, packed))
        return Rendered(
            about["name"],
            tuple(about["heights"]),
            {name: (page, x, y) for name, (page, x, y) in about["anchors"].items()},
            tuple(Bookmark(*mark) for mark in about["bookmarks"]),
            tuple(objects),
            tuple(about["pages"]),
            about["faces"],
            {name: {int(g): text for g, text in used} for name, used in about["glyphs"].items()},
            tuple(PageReference(*reference) for reference in about["references"]),
            tuple(about["unplaced"]),
            StampCodes(*about["stamp"]) if about["stamp"] else None,
            tuple(Row(*row) for row in about["rows"]),
        )
    except (ValueError, KeyError, TypeError, UnicodeEncodeError):
        return None
