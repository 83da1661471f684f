"""Mechanics of lines and posts: cable, friction, push test, person-impact loads, bending, weakest link."""
