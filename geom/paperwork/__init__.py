"""The papers around the work: quotation, orders, labels, what was made, handover, the next season.

Every figure on them is one that sheets and `check.json` have.
"""
