"""A tape survey: readings to coordinates with their uncertainty."""
