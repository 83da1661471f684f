"""The blank measuring form."""
