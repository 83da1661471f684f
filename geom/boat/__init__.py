"""What we are told: the boat file as frozen models, read with located errors."""
