"""The sheets of each line and the making log."""
