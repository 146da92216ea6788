"""Notes and waived findings."""

from __future__ import annotations

from buildbook.description.models.base import Name, Section, Text, Title


class Note(Section):
    file: Title
    """Markdown in the folder. `- [ ]` is a box to tick; `![what it shows](photo.jpg)` prints a JPEG
    or PNG of the folder, turned as the camera held it and without what the file says of place and
    time."""
    with_: Title
    """'vehicle', 'supply', 'system fuel', 'harness engine', 'troubleshooting', …"""


class Waiver(Section):
    """A finding that the author accepts."""

    rule: Name
    """As it stands in brackets behind the finding that `buildbook check` prints."""
    about: Name
    """What the finding is about, as `buildbook check` tells it behind the rule. A wire, splice or
    pass-through contact may be named by its circuit, a wire by a pin at its end too: numbers shift
    when a circuit is added, these stay."""
    because: Text
    """Why it is accepted; the book prints it."""
