"""How a figure is written: to plain strokes, then SVG, PDF and DXF. Knows shapes, not boats."""
