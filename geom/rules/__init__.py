"""What is asked of a boat: one file for each published document, limits in data/rules, one function per clause.

`register.py` lists the documents, `applied.py` puts them to a boat; `coverage.py` says what is not checked.
"""
