"""A survey by tape: readings to coordinates with their uncertainty."""
