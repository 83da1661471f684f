"""`python -m geom` is `toerail`."""

from geom.cli import main

main()
