"""The next season: last figures beside blanks, what to look at by place, and how line and stanchions change."""
