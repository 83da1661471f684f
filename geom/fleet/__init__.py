"""Many boats: variants of one, spacing of its stanchions, what a revision changes, and fleets on a cluster."""
