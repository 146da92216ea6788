"""What a variant moves: which devices go where, rope that falls away, and rope led there."""
