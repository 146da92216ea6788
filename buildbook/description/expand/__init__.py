"""Writes out in full what the author said in short: alike, kinds, uses of pins, feeds."""
