"""Rule checks: one file per published document, one function per clause, limits in data/rules.

`register.py` lists the documents, `applied.py` applies them to a boat, `coverage.py` lists what is not checked.
"""
