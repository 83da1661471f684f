"""What all sheets share: the sheet and its title block, paper, ruling, views, symbols, words."""
