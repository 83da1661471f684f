"""What was made: the log compared with the error budget, and the take-up by the first eyes for the next lines."""
