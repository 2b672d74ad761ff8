"""What of a strip's lettering a screen has room for.

Places on a strip are percent of its width, letters are 16 px: whether words fit depends on the
screen. They are given a class that names the width from which they are shown.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

WIDTHS_PX = (("small", 320), ("medium", 680), ("wide", 1100))
"""Names of widths that a strip has at least, on a phone, a tablet and a desk: its style sheet shows
what fits the name that it has (`from-small`, `from-medium`, `from-wide`)."""

LETTER_PX = 8.4
"""Width of a letter or figure of 16 px with some air: a mean of the app's typeface."""

BESIDE_PX = 14.0
"""What stays free beside words: on both sides of them within a block, before a line."""

FROM_MARK_PX = 12
"""How far words stand from the mark that they are of."""


@dataclass(frozen=True)
class Notch:
    """A moment with words beside it; `room` names the widths from which they have room."""

    x: float
    label: str
    title: str
    room: str = ""


def room_of(width: float, letters: int) -> str:
    """The class of a lettering that must fit into `width` percent of the strip; never if none."""
    needed_px = letters * LETTER_PX
    fitting = (name for name, px in WIDTHS_PX if width * px / 100 >= needed_px)
    name = next(fitting, None)
    return f"from-{name}" if name else "never"


def side_by_side(
    notches: Iterable[Notch], end_x: float, end_letters: Mapping[str, int]
) -> tuple[Notch, ...]:
    """Notches with the widths from which the words of each keep clear of those before it.

    Words are centred on their notch. `end_x` is where other words end, of so many letters on a
    strip of each width.
    """
    held = {name: [_reach(end_x, 1.0, end_letters[name], px)] for name, px in WIDTHS_PX}
    found = []
    for notch in notches:
        fitting = ""
        for name, px in reversed(WIDTHS_PX):
            low, high = _reach(notch.x, 0.5, len(notch.label), px)
            if low < 0 or any(low < right and left < high for left, right in held[name]):
                break
            held[name].append((low, high))
            fitting = name
        room = f"from-{fitting}" if fitting else "never"
        found.append(Notch(notch.x, notch.label, notch.title, room))
    return tuple(found)


def beside(x: float, letters: int, other: float | None, other_letters: int, left: bool) -> str:
    """The class of words that begin at `x` and must keep clear of others.

    Those begin at `other`, or end there where they stand to the `left`; None for no others.
    """
    fitting = ""
    for name, px in reversed(WIDTHS_PX):
        low, high = _reach(x, 0.0, letters, px)
        if other is None:
            fits = high < px
        else:
            first, last = _reach(other, 1.0 if left else 0.0, other_letters + 2, px)
            fits = high < px and (high < first or last < low)
        if not fits:
            break
        fitting = name
    return f"from-{fitting}" if fitting else "never"


def first_that_fit(words: Sequence[str], first_px: float, further_px: float) -> str:
    """As many of the words as fit into a block: the first into `first_px`, all into `further_px`.

    A stroke or comma behind the last of them is left out.
    """
    shown = ""
    for word in words:
        longer = f"{shown} {word}".strip()
        room_px = (further_px if shown else first_px) - BESIDE_PX
        if len(longer.rstrip(",;:")) * LETTER_PX >= room_px:
            break
        shown = longer
    return shown.rstrip(",;:–—-& ")


def before_a_line(
    x: float, letters: int, line_x: float, percent_px: float
) -> tuple[float, int, bool]:
    """Where words about `x` stand, how many pixels on, and whether they end there.

    They never cross the line: where they would on the narrowest strip that shows them, on which a
    percent is so many pixels wide, they end before it, which holds at any width.
    """
    ends = x > 50
    reach, free = letters * LETTER_PX / percent_px, BESIDE_PX / percent_px
    start, end = (x - reach, x) if ends else (x, x + reach)
    if start - free < line_x < end + free:
        return line_x, -FROM_MARK_PX, True
    return x, FROM_MARK_PX if ends else -FROM_MARK_PX, ends


def _reach(x: float, left: float, letters: int, px: int) -> tuple[float, float]:
    """From where to where words lie on a strip so wide, in px."""
    width_px = (letters + 1) * LETTER_PX
    start_px = x * px / 100 - left * width_px
    return start_px, start_px + width_px
