"""What was made: the log compared with the error budget, and what the first eyes teach for the next lines."""
