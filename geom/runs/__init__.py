"""What follows from the boat: where each line goes, what it meets, how long and how tight it is."""
