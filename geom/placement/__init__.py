"""Positions of posts, holes and lines: spans, angles, eyes in holes, pads under bases, symmetry."""
