"""The sheets that made posts are checked by."""
