"""Post cards and the post schedule."""
