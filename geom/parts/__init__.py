"""Fittings: every family has the interface of part.py; sizes are data, shapes are code."""
