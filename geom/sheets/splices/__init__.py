"""The splice sheets."""
