"""The check sheet of a deck plan."""
