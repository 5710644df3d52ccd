#!/usr/bin/env python3
"""Makes the fonts of the PDF reports from Source Sans 3 (SIL Open Font License, see OFL.md).

    python subset.py SourceSans3-Regular.ttf SourceSans3-Bold.ttf
    python subset.py --names RimeSans-Regular.ttf RimeSans-Bold.ttf

The second form only drops the name records that the license does not ask for. Needs fonttools. Only the letters of European languages written in Latin script and the signs of the
reports are kept, to keep the program small; ligatures are left out, since text copied out of a PDF
loses letters to them. "Source" is a reserved name, so a changed font may not bear it.
"""

import subprocess
import sys

from fontTools.ttLib import TTFont

LETTERS = (
    "U+0020-007E,U+00A0-017F,U+02C6-02DD,U+0300-0304,U+0394,U+03A9,U+03BC,U+2009-2015,U+2018-2022,"
    "U+2026,U+202F,U+2030,U+2032,U+2033,U+2044,U+2070-208E,U+20AC,U+2122,U+2126,U+2150-215E,"
    "U+2190-2199,U+2206,U+2212,U+2215,U+221A,U+2248,U+2260,U+2264,U+2265,U+25A0,U+25A1,U+25AA,"
    "U+25B2,U+25B3,U+25B6,U+25BC,U+25CB,U+25CF,U+25E6,U+2713,U+2717"
)
FAMILY = "Rime Sans"
# Numbers of the name table: family, unique name, full name, PostScript name, typographic family, style.
FAMILIES, UNIQUE, FULL, POSTSCRIPT, STYLE = (1, 16), 3, 4, 6, 17
# Trademark, maker, designer, web address. The license asks for copyright (0) and license (13, 14) alone.
NOT_ASKED_FOR = (7, 8, 9, 11)


def drop_names(path):
    """Drops the name records that the license does not ask for."""
    font = TTFont(path)
    for number in NOT_ASKED_FOR:
        font["name"].removeNames(nameID=number)
    font.save(path)


def subset(path, weight):
    """Writes RimeSans-WEIGHT.ttf."""
    out = f"RimeSans-{weight}.ttf"
    options = ["--layout-features=kern,mark,mkmk,ccmp,locl", "--no-hinting", "--name-IDs=*"]
    command = [sys.executable, "-m", "fontTools.subset", path, f"--unicodes={LETTERS}"]
    subprocess.run([*command, *options, f"--output-file={out}"], check=True)
    font = TTFont(out)
    for record in font["name"].names:
        if record.nameID in FAMILIES:
            record.string = FAMILY
        elif record.nameID in (UNIQUE, POSTSCRIPT):
            record.string = f"RimeSans-{weight}"
        elif record.nameID == FULL:
            record.string = f"{FAMILY} {weight}"
        elif record.nameID == STYLE:
            record.string = weight
    font.save(out)
    drop_names(out)


if __name__ == "__main__":
    if len(sys.argv) == 4 and sys.argv[1] == "--names":
        for path in sys.argv[2:]:
            drop_names(path)
        sys.exit()
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    subset(sys.argv[1], "Regular")
    subset(sys.argv[2], "Bold")
