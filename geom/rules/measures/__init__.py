"""Quantities of a boat that clauses limit."""
