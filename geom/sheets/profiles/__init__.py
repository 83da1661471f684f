"""Both sides from outboard."""
