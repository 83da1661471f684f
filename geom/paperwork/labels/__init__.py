"""Labels: tags for lines and stanchions, to be cut out and tied on."""
