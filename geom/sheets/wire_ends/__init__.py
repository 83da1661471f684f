"""The sheet of wire ends."""
