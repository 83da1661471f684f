"""How each line is made: splices, lengths, fit, threading, settings, strength, error budget."""
