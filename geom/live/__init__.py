"""The page served on this machine alone, worked out afresh at each save of the boat file."""

from geom.live.serve import serve as serve
