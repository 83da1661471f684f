"""The boat file as frozen models, read with located errors."""
