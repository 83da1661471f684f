"""Spreadsheet tables to and from a boat file."""
