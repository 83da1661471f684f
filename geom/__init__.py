"""Guard line runs of sailing boats: from deck coordinates to a refit package.

A boat (what we are told) gives runs (where each line goes) and parts (fittings), checked by rules,
set on sheets, rendered to files; data is what others published. Start reading in `refit.py`.
"""
