"""What was worked out, as data for other programs."""
