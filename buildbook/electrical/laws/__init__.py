"""Laws of devices whose current does not follow Ohm's: one file each, pure functions."""
