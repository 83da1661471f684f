"""Orders: one paper for each kind of supplier."""
