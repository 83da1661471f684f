"""What the clauses measure on a boat."""
