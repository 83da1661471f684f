"""Ways in: tape survey, closure, as-found check, spreadsheet tables, deck-plan DXF, to a boat file."""
