"""The whole refit as one self-contained HTML file, read on a phone without a network."""

from geom.page.document import page_bytes as page_bytes
from geom.page.drawings import Drawing as Drawing
from geom.page.drawings import drawings_of as drawings_of
