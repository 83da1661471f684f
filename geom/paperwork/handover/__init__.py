"""Handover: what was made, measured and tested, what is not proven, what the owner checks and when."""
