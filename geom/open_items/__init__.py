"""What is to be done before the boat is finished: findings, contradictions and missing facts merged by cause.

`rank.py` makes the list; `causes.py` gives each finding its cause; the other files make the items of one family of
causes each.
"""

from geom.open_items.item import OpenItem as OpenItem
from geom.open_items.rank import open_items as open_items
