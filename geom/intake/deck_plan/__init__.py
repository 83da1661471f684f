"""A deck plan in DXF to a boat file."""
