"""Findings: one rule, one file, one id, one source."""
