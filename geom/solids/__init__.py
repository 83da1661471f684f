"""The boat in 3D: parts built once, placed as named instances, written, read back and verified."""
