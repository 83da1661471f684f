"""Full-size aids."""
