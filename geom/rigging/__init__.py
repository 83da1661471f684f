"""How each line is made: splices, lengths, fit, threading, settings, strength and error budget."""
