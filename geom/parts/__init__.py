"""Fittings: each family answers the same few questions (see part.py); sizes are data, shapes are code."""
