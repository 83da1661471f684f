"""The only place that writes to disk: whole or not at all, never losing a file that is not its own."""

from __future__ import annotations

from geom.files.lines import LineFile as LineFile
from geom.files.lines import line_file as line_file
from geom.files.manifest import MANIFEST as MANIFEST
from geom.files.manifest import SUMS as SUMS
from geom.files.manifest import compare_with_manifest as compare_with_manifest
from geom.files.manifest import sums as sums
from geom.files.names import checked_name as checked_name
from geom.files.streams import written_whole as written_whole
from geom.files.writing import check_place as check_place
from geom.files.writing import make_folder as make_folder
from geom.files.writing import refuse_existing as refuse_existing
from geom.files.writing import write_file as write_file
from geom.files.writing import write_package as write_package
