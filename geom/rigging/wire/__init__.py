"""Ends of wire lines as they are made."""
