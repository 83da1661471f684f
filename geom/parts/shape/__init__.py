"""Basic shapes of fittings, and the drawing of their views."""
