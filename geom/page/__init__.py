"""The whole refit as one self-contained HTML file, read on a phone without a network."""

from geom.page.document import body_of as body_of
from geom.page.document import data_of as data_of
from geom.page.document import page_bytes as page_bytes
from geom.page.document import units_of as units_of
from geom.page.drawings import Drawing as Drawing
from geom.page.drawings import drawings_of as drawings_of
from geom.page.drawings import drawn as drawn
from geom.page.drawings import listed_of as listed_of
