"""Names that files can have on every system, made of names that people write."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container, Iterable

NO_NAME = "unnamed"
MOST_BYTES = 120
"""Of a name without its ending: half of what common file systems take, so that a number fits on."""
RESERVED = re.compile(r"^(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[0-9¹²³])(\.|$)", re.IGNORECASE)
"""Names of devices on Windows, with any ending (Microsoft, Naming Files, Paths, and Namespaces)."""


def file_name(text: str) -> str:
    """`text` as the name of a file, without its ending: letters and digits of any script, `._+-`.

    Never empty, hidden or reserved, the same on disks that keep Unicode in another form.
    """
    plain = unicodedata.normalize("NFC", text)
    kept = "".join(c if c.isalnum() or c in "._+" else "-" for c in plain)
    kept = re.sub(r"-+", "-", kept).strip("-.")
    kept = kept.encode()[:MOST_BYTES].decode(errors="ignore").strip("-.") or NO_NAME
    return RESERVED.sub(r"\1-\3", kept)


def not_taken(name: str, taken: Container[str], numbered: str = "{}-{}") -> str:
    """The name, or with the first number from 2 with which no name in `taken` is the same.

    `taken` holds names in small letters: many disks do not tell capitals apart.
    """
    found, number = name, 2
    while found.casefold() in taken:
        found, number = numbered.format(name, number), number + 1
    return found


def file_names(texts: Iterable[str]) -> dict[str, str]:
    """Text -> the name of its file in one folder, no two alike on any disk."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for text in texts:
        if text not in names:
            names[text] = not_taken(file_name(text), taken)
            taken.add(names[text].casefold())
    return names
