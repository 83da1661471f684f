"""Published numbers and word lists, as CSV with their sources."""
