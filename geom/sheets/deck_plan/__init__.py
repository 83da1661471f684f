"""The deck plan."""
