"""What the harnesses were built with, and stays: `as-built.yaml` in the vehicle folder."""
