"""The words of the book: in English where they are said; in other languages they are found here."""
