"""One thing to draw in, one SVG drawing out."""
