"""The sheets of each line: run cards and threading."""
