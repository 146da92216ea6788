"""Chapters to pages to one PDF."""
