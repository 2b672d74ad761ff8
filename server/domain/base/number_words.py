"""So many things, as a sentence has it: the number in words up to twelve, or in figures.

>>> counted(1, "run"), counted(12, "run"), counted(24, "run")
('one run', 'twelve runs', '24 runs')
>>> count(1, "run"), count(3, "run"), count(2, "person", "people")
('1 run', '3 runs', '2 people')
"""

_NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip


def in_words(number: int) -> str:
    """A number in words up to twelve, in figures beyond."""
    return _NUMBERS[number] if 0 <= number < len(_NUMBERS) else str(number)


def counted(number: int, one: str, many: str | None = None) -> str:
    """A number of things within a sentence: "one run", "24 runs"."""
    return f"{in_words(number)} {_noun(number, one, many)}"


def count(number: int, one: str, many: str | None = None) -> str:
    """A number of things as a figure beside others: "1 run", "2 runs"."""
    return f"{number} {_noun(number, one, many)}"


def _noun(number: int, one: str, many: str | None) -> str:
    return one if number == 1 else many or f"{one}s"
