"""The list of drawings."""
