"""The list of fabricated parts."""
