"""The fonts of the usual letters, cut anew from the lettering font: `python -m tests.make_usual_fonts`."""

from geom.render.font import USUAL, USUAL_FONTS, font_of_letters
from tests.boats import ROOT


def main() -> None:
    """Write the font of each weight."""
    for weight, name in USUAL_FONTS.items():
        (ROOT / "templates" / name).write_bytes(font_of_letters(USUAL, weight))


if __name__ == "__main__":
    main()
