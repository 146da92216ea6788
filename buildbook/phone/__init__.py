"""The phone edition: cards, drawings and the diagnosis in one HTML file that needs no network."""
