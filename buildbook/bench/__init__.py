"""Build-sheet content: what a helper at the bench needs, step by step, for one harness."""
