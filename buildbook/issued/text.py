"""A revision as the text of `revisions/NAME.yaml`."""

from __future__ import annotations

import yaml

from buildbook.issued.model import Revision

HEAD = """\
# What this revision said when it was issued. `buildbook issue` writes this file, and later books
# are held against it: do not change it. First what somebody acts on, then each page of the book:
# the revision that it was last changed in, and hashes of what stands on it.
"""


class _Plain(yaml.SafeDumper):
    """Writes what is the same twice out twice: a reader of descriptions takes no aliases."""

    def ignore_aliases(self, _data: object) -> bool:
        return True


def revision_text(revision: Revision) -> str:
    """The text of a revision's file: what is the same gives the same bytes."""
    data = revision.model_dump(mode="python", by_alias=True, exclude_defaults=True)
    first = {
        key: data.pop(key) for key in ("revision", "date", "earlier", "changes") if key in data
    }
    text = yaml.dump(
        first | data,
        Dumper=_Plain,
        sort_keys=False,
        allow_unicode=True,
        default_flow_style=None,
        width=100,
    )
    return HEAD + text
