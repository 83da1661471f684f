"""The boat in 3D: parts built once, placed under their own names, written, read back and proved."""
