"""Conductor size and fuse rating, with each limit considered and the one that governed."""
