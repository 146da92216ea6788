"""Whole vehicles in a circuit simulator, from their description and data sheets alone."""
