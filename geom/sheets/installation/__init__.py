"""The sheets for checking posts after fabrication."""
