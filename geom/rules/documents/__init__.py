"""The published documents that boats are checked by, one file each."""
