"""The sheets of rules and survey."""
