"""The order list."""
