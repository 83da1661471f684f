"""The detail of the gates: how hole to hole is made up at each level."""
