"""Why a book cannot be made."""

from __future__ import annotations


class BookError(Exception):
    """The book cannot be made; the text says why and what to type."""
