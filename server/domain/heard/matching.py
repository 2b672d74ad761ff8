"""Two rows of words laid against one another: the best pairs, in order.

Dynamic programming with gaps that cost to open and little to go on (Gotoh, J. Mol. Biol. 162,
1982), a row of the table at a time. A lone pair between two gaps costs more than it gains, so
words that stray do not tear a sentence apart.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

Table = npt.NDArray[np.float32]

OPEN, ON = 0.6, 0.02
"""What a gap costs to open, and each word in it."""

ALIKE = 0.72
"""Share of letters from which two words count as one misheard as the other."""

APART, NEARNESS = -0.35, 0.5
"""What a pair of unlike words costs, and what likeness gives back."""

SHORT_WORD = 3
LIGHT, COMMON, FULL = 0.35, 0.6, 1.0
"""What a short word, a word said all the time, and any other weighs."""

MOST_CELLS = 60_000_000
"""Of the table: three hours of talk against a script of two thousand words."""


@dataclass(frozen=True)
class WordPair:
    """Word `script` of the script is word `heard` of the talk; `likeness` 1 is the same word."""

    script: int
    heard: int
    likeness: float


@dataclass(frozen=True)
class Likenesses:
    """How alike each word of the script is to each of the talk, by ids of their stems."""

    table: Table
    script_ids: npt.NDArray[np.intp]
    heard_ids: npt.NDArray[np.intp]
    weights: Table
    """Of each word of the script."""


def likenesses(script: Sequence[str], heard: Sequence[str]) -> Likenesses:
    """The likeness of all words: 1 for the same, else the share of letters that agree."""
    # A twentieth of a second to load: only where something is aligned.
    from rapidfuzz.distance import Levenshtein
    from rapidfuzz.process import cdist

    script_stems, heard_stems = sorted(set(script)), sorted(set(heard))
    table = cdist(
        script_stems, heard_stems, scorer=Levenshtein.normalized_similarity, dtype=np.float32
    )
    by_script = {stem: at for at, stem in enumerate(script_stems)}
    by_heard = {stem: at for at, stem in enumerate(heard_stems)}
    return Likenesses(
        table,
        np.array([by_script[stem] for stem in script], dtype=np.intp),
        np.array([by_heard[stem] for stem in heard], dtype=np.intp),
        _weights(script),
    )


def _weights(script: Sequence[str]) -> Table:
    counts = Counter(script)
    often = max(4, len(script) // 80)
    return np.array(
        [
            LIGHT if len(stem) <= SHORT_WORD else COMMON if counts[stem] > often else FULL
            for stem in script
        ],
        dtype=np.float32,
    )


def best_pairs(
    alike: Likenesses, script: Sequence[int], heard: Sequence[int], *, ends_free: bool = False
) -> list[WordPair]:
    """The best pairs of the words at these places, in order, those that are alike enough.

    The ends of the talk are always free; with `ends_free` those of the script are too.
    """
    if not len(script) or not len(heard):
        return []
    rows = alike.script_ids[np.asarray(script, dtype=np.intp)]
    columns = alike.heard_ids[np.asarray(heard, dtype=np.intp)]
    weights = alike.weights[np.asarray(script, dtype=np.intp)]
    if ends_free and len(columns) < len(rows):
        # With all ends free either may lie across; the fewer rows there are the faster it goes.
        crossed = _best_path(alike.table.T, columns, rows, weights, ends_free)
        path = [(i, j) for j, i in crossed]
    else:
        path = _best_path(alike.table, rows, columns, weights[:, None], ends_free)
    return [
        WordPair(int(script[i]), int(heard[j]), float(alike.table[rows[i], columns[j]]))
        for i, j in path
        if alike.table[rows[i], columns[j]] >= ALIKE
    ]


_STEP, _DOWN, _ACROSS, _DOWN_ON, _ACROSS_ON = 0, 1, 2, 4, 8


def _best_path(
    table: Table,
    rows: npt.NDArray[np.intp],
    columns: npt.NDArray[np.intp],
    weights: Table,
    ends_free: bool,
) -> list[tuple[int, int]]:
    """The cells of the best path in which a word stands against a word.

    `weights` has one for each column, or a row of one for each row.
    """
    height, width = len(rows), len(columns)
    moves = np.zeros((height, width + 1), dtype=np.uint8)
    along = ON * np.arange(width + 1, dtype=np.float32)
    best = np.zeros(width + 1, dtype=np.float32)
    down = np.full(width + 1, -np.inf, dtype=np.float32)
    ends: list[tuple[float, int]] = []
    for i in range(height):
        before = best
        step = np.full(width + 1, -np.inf, dtype=np.float32)
        weight = weights[i] if weights.ndim > 1 else weights
        step[1:] = before[:-1] + _scores(table[rows[i]][columns], weight)
        opened = before - (OPEN + ON)
        down_on = down - ON > opened
        down = np.where(down_on, down - ON, opened)
        if ends_free:
            down[0], down_on[0] = 0.0, False
        elif i == 0:
            down[0] = -OPEN - ON
        reached = np.where(step >= down, step, down)
        move = np.where(step >= down, _STEP, _DOWN).astype(np.uint8)
        # A gap across is opened from the best so far, paid by the word.
        source = reached + along
        run = np.maximum.accumulate(source)
        across = np.full(width + 1, -np.inf, dtype=np.float32)
        across[1:] = run[:-1] - along[1:] - OPEN
        across_on = np.zeros(width + 1, dtype=bool)
        across_on[2:] = run[1:-1] > source[1:-1]
        is_across = across > reached
        best = np.where(is_across, across, reached)
        move[is_across] = _ACROSS
        moves[i] = move | (down_on * _DOWN_ON).astype(np.uint8)
        moves[i] |= (across_on * _ACROSS_ON).astype(np.uint8)
        if ends_free:
            ends.append((float(best.max()), int(best.argmax())))
    if ends_free:
        last = max(range(height), key=lambda i: ends[i][0])
        return _walked(moves, last, ends[last][1])
    return _walked(moves, height - 1, int(best.argmax()))


def _scores(likeness: Table, weight: Table) -> Table:
    """What a pair of words gains or costs, by how alike they are."""
    found: Any = np.where(likeness >= ALIKE, weight * likeness, APART + NEARNESS * likeness)
    return found.astype(np.float32)  # type: ignore[no-any-return]


def _walked(moves: npt.NDArray[np.uint8], i: int, j: int) -> list[tuple[int, int]]:
    """The steps of the best path that ends in a cell, from the first on."""
    path: list[tuple[int, int]] = []
    state = -1
    while i >= 0 and j >= 0:
        here = int(moves[i, j])
        move = here & 3 if state < 0 else state
        if move == _STEP:
            if j == 0:
                break
            path.append((i, j - 1))
            i, j, state = i - 1, j - 1, -1
        elif move == _DOWN:
            state = _DOWN if here & _DOWN_ON else -1
            i -= 1
        else:
            if j == 0:
                break
            state = _ACROSS if here & _ACROSS_ON else -1
            j -= 1
    return path[::-1]
