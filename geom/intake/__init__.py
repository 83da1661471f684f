"""Input: tape survey, closure, as-found check, spreadsheet tables and deck-plan DXF to a boat file."""
