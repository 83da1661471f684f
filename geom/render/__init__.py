"""Writing a figure: to plain strokes, then SVG, PDF and DXF. Independent of boats."""
