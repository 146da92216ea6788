"""What editions there are, in a line each: all that a command needs before it makes one."""

from __future__ import annotations

EDITION_LINES = {
    "whole": "The whole book.",
    "order": "An order for each supplier, the bill, cutting and kits.",
    "helper": "One harness alone, named by --harness.",
    "trackside": "Fault-finding for the pocket, on half the paper.",
    "phone": "One HTML file: look things up, follow faults, without a network.",
    "workings": "What an auditor reads: how each size was chosen, all readings, lengths, sums.",
    "ropes": "The ropes to lay in the car, with blanks for `measure`.",
}
"""Name -> what it is for: shown by --help and on the cover."""
WHOLE_NAME = "whole"
"""The edition that is the whole book."""
HELPER_NAME = "helper"
"""The edition that is of one harness."""
PHONE_NAME = "phone"
"""The edition that is no PDF: the room `phone` makes it."""
TRACKSIDE_NAME = "trackside"
"""The edition on small paper, which is also folded."""
