"""Quotation: quantities of a refit at the rates of a yard."""
