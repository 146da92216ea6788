"""buildbook turns one description of a vehicle into a printable build book."""

__version__ = "0.1.0"
