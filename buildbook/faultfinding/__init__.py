"""Symptom to suspects to next measurement, with the reading to expect."""
