"""Calculators to use without a vehicle: what each asks, and its working step by step."""
