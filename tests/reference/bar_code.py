"""Reference vectors for the bar code of a job, from zxing-cpp's own writer and from nothing of bevelbook.

    pip install -r tests/reference/requirements.txt
    python tests/reference/bar_code.py console/src/sheet/tests

Writes bar_codes.txt. One code a line: the text, then its modules, 1 for a bar, as they stand from left to right. Every
letter of code set B but the blank is among them, and every symbol character that only a check makes. No two figures stand
side by side: the writer may set those in code set C, which is read alike.
"""

import sys

import numpy as np
import zxingcpp

LETTERS = [chr(code) for code in range(32, 127)]


def modules(text):
    code = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.Code128)
    picture = np.array(zxingcpp.write_barcode_to_image(code, scale=1, add_quiet_zones=False))
    return "".join("1" if value < 128 else "0" for value in picture[picture.shape[0] // 2])


def check(text):
    """The weighted sum of ISO/IEC 15417 from memory; only chooses which numbers are of interest."""
    return (104 + sum(place * (ord(letter) - 32) for place, letter in enumerate(text, 1))) % 103


without_figures = [letter for letter in LETTERS if not letter.isdigit()]
texts = ["".join(without_figures[start : start + 17]) for start in range(0, len(without_figures), 17)]
texts += ["0J1J2J3J4", "5J6J7J8J9"]
pairs = [first + second for first in "JKLMNOPQR" for second in without_figures if second != " "]
texts += [next(text for text in pairs if check(text) == value) for value in range(95, 103)]
with open(f"{sys.argv[1]}/bar_codes.txt", "w") as file:
    file.writelines(f"{text.strip()} {modules(text.strip())}\n" for text in texts)
