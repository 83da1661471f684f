"""Shapes that fittings are joined from, and how their views are drawn."""
