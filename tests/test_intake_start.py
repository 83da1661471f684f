"""Intake costs nothing at start-up: no numbers library, workbook or drawing reader before one is needed."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_no_heavy_library_is_loaded_with_the_modules():
    names = sorted(path.stem for path in (ROOT / "geom" / "intake").glob("*.py") if path.stem != "__init__")
    code = "import sys\n" + "".join(f"import geom.intake.{name}\n" for name in names)
    code += "heavy = ('numpy', 'scipy', 'openpyxl', 'ezdxf', 'ruamel.yaml', 'pint')\n"
    code += "print([name for name in heavy if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
