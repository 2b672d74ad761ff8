"""How large the type of the stage sheet may be so that the sheet fills one page and no more.

Widths of letters are means of the app's typeface; the test that prints sheets holds this to paper.
"""

import math
from collections.abc import Sequence
from unicodedata import east_asian_width

SIZES_PT = (14.0, 13.0, 12.0, 11.5, 11.0, 10.5, 10.0, 9.75, 9.5, 9.25, 9.0, 8.5)
"""Sizes that `stage_sheet.css` knows, largest first; smaller type nobody reads at arm's length."""

OF_SEVERAL_PAGES_PT = 10.0
"""The size of a sheet that fills more than one page whatever its type."""

PAGES_PT = {"A4": (538.0, 650.0), "Letter": (555.0, 597.0)}
"""Width and height for the rows: the page between its margins of 10 mm, less what stands above and
beneath them, less 6 % because lines are reckoned."""

LETTER_EM = 0.47
LINE_EM = 1.2
CELL_PT = 6.0
"""What a cell takes from the width of its text."""
ROW_PT = 4.0
"""What a row takes besides its lines: padding and rule."""

Row = Sequence[tuple[float, str]]
"""The cells of a row: share of the width, and what stands in it."""


def largest_size_pt(rows: Sequence[Row]) -> float | None:
    """The largest size in which the rows fit one page of any kind; None where none is small enough.

    Sizes are in points."""
    return next((size for size in SIZES_PT if _fits(rows, size)), None)


def _fits(rows: Sequence[Row], size_pt: float) -> bool:
    return all(
        sum(_row_height_pt(row, size_pt, width_pt) for row in rows) <= height_pt
        for width_pt, height_pt in PAGES_PT.values()
    )


def _row_height_pt(row: Row, size_pt: float, width_pt: float) -> float:
    rooms = [(share * width_pt - CELL_PT) / (LETTER_EM * size_pt) for share, _ in row]
    lines = max(lines_of(text, room) for room, (_, text) in zip(rooms, row, strict=True))
    return lines * LINE_EM * size_pt + ROW_PT


def lines_of(text: str, room: float) -> int:
    """Lines that a text takes where a line has room for so many letters, broken between words."""
    lines, used = 1, 0
    for word in text.split():
        length = sum(2 if east_asian_width(letter) in "WF" else 1 for letter in word)
        gap = 1 if used else 0
        if used + gap + length <= room:
            used += gap + length
            continue
        over = max(1, math.ceil(length / room))
        lines += over if used else over - 1
        used = length - math.floor(room) * (over - 1)
    return lines
