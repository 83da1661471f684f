"""Where posts, holes and lines are: places, spans, turns, eyes against holes, pads under bases, symmetry."""
