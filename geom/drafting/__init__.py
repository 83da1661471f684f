"""Elements common to all sheets: sheet and title block, paper, ruling, views, symbols, text."""
