"""Writes `tests/fixtures/tables`: one boat's tables by the office suite of the system, in five locales, CSV and XLSX.

By hand, where the suite is installed: `python tests/make_table_fixtures.py`. The files are committed, so that the tests
need no office suite. Each locale is written four times: headings in three languages, as shown with thousands, in metres
and millimetres, in the code page of old Windows.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

from openpyxl import Workbook

ROOT = Path(__file__).parent.parent
sys.path.insert(0, str(ROOT))

from geom.data import table  # noqa: E402
from tests.table_boat import TABLES, rows_of  # noqa: E402

OUT = ROOT / "tests" / "fixtures" / "tables"
LOCALES = ("en-GB", "en-US", "de-DE", "de-CH", "fr-FR")
# Language of the headings, unit of lengths, field separator, character set of the CSV filter (UTF-8, Windows-1252).
VARIANTS = (("en", "mm", 44, 76), ("de", "mm", 59, 76), ("fr", "mm", 59, 1), ("en", "m", 9, 76))
_PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Setup/L10N">
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{locale}</value></prop></item></oor:items>
"""


def heading(language: str, which: str, key: str, unit: str) -> str:
    """Return the first word of a language for a column, with its unit; the English one where it has none."""
    found = [row for row in table.rows("table_words") if row["table"] == which and row["key"] == key]
    words = {row["language"]: row["words"].split("|")[0] for row in found}
    word = words.get(language, words["en"])
    return f"{word} [{unit}]" if unit else word


def sheet_name(language: str, which: str) -> str:
    """Return the name of a sheet in a language."""
    found = [row for row in table.rows("table_words") if row["table"] == "names" and row["key"] == which]
    return {row["language"]: row["words"].split("|")[0] for row in found}[language]


def workbook(path: Path, language: str, unit: str) -> None:
    """Write the boat's tables as a workbook with typed numbers, shown with a sign between thousands."""
    book = Workbook()
    book.remove(book.active)
    for which in TABLES:
        sheet = book.create_sheet(sheet_name(language, which))
        keys, kinds, rows = rows_of(which)
        units = ["" if kind == "text" else "deg" if kind == "angle" else unit for kind in kinds]
        sheet.append([heading(language, which, key, one) for key, one in zip(keys, units, strict=True)])
        for row in rows:
            values = []
            for value, one in zip(row, units, strict=True):
                values.append(value / 1000.0 if one == "m" and value is not None else value)
            sheet.append(values)
            for cell, one in zip(sheet[sheet.max_row], units, strict=True):
                cell.number_format = {"": "General", "deg": "0.00", "mm": "#,##0.0", "m": "#,##0.0000"}[one]
    book.save(path)


def convert(source: Path, to: str, folder: Path, profile: Path) -> None:
    """Let the office suite write a file in another format."""
    command = ["soffice", f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", to]
    subprocess.run([*command, "--outdir", str(folder), str(source)], check=True, capture_output=True)


def main() -> None:
    """Write every file anew."""
    shutil.rmtree(OUT, ignore_errors=True)
    OUT.mkdir(parents=True)
    for locale in LOCALES:
        with tempfile.TemporaryDirectory() as temporary:
            folder = Path(temporary)
            (folder / "profile" / "user").mkdir(parents=True)
            (folder / "profile" / "user" / "registrymodifications.xcu").write_text(_PROFILE.format(locale=locale))
            for number, (language, unit, separator, charset) in enumerate(VARIANTS, start=1):
                source = folder / f"{locale}-{number}.xlsx"
                workbook(source, language, unit)
                made = folder / "made"
                shutil.rmtree(made, ignore_errors=True)
                convert(source, "xlsx", made, folder / "profile")
                shutil.copyfile(made / source.name, OUT / source.name)
                options = f"{separator},34,{charset},1,,0,false,true,true,false,false,-1"
                convert(source, f"csv:Text - txt - csv (StarCalc):{options}", made, folder / "profile")
                with zipfile.ZipFile(OUT / f"{locale}-{number}.zip", "w", zipfile.ZIP_DEFLATED) as packed:
                    for file in sorted(made.glob("*.csv")):
                        name = file.name.removeprefix(f"{source.stem}-")
                        info = zipfile.ZipInfo(name, (2000, 1, 1, 0, 0, 0))
                        info.compress_type = zipfile.ZIP_DEFLATED
                        packed.writestr(info, file.read_bytes())


if __name__ == "__main__":
    main()
