"""What to buy, how many packs, what it costs."""
