"""Purchasing: order list, reel cutting plan, parts list, comparison of lines."""
