"""Harnesses laid out, cut through and printed at full size."""
