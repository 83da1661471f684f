"""What is bought: the order, reels, parts list, lines compared."""
