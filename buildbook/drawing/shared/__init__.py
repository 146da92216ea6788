"""What every drawing is made with."""
