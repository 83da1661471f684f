"""The base plate sheets."""
