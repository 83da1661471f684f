"""The families of fittings, one file each."""
