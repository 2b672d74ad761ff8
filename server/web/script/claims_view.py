"""The ledger as its pages show it: claims in one line each, their places, and the corrections."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from server.domain.claims.backing import TO_KNOW_WARMTH
from server.domain.claims.cures import cures_of, held_as_meant
from server.domain.claims.finds import KINDS, MOMENTS
from server.domain.claims.rows import LedgerRow
from server.domain.claims.sayings import Saying
from server.domain.routine.routine import Routine
from server.web.drinks.checked import Checked
from server.web.script.check import AT_ODDS, UNCHECKED, WORDS, Badge, badge, badge_key, badge_of
from server.web.script.check import row_id as id_of_row
from server.web.script.check import sentence_id as id_of_sentence
from server.web.script.claims_filters import ASKED, NO_DRINK, SHOWN, Filters, tally_of

MOST_PLACES = 12
"""Places listed of one claim: a word said more often than that is not looked for one by one."""

AROUND = 5
"""Words that are told before and behind one that is perhaps no claim."""

FEW = 5
"""Claims named in the line of a fold."""


@dataclass(frozen=True)
class Place:
    """Where a claim is said: the segment, the time in the slot, the sentence in the script."""

    number: int
    segment: str
    sentence_id: str
    saying: Saying

    @property
    def moment(self) -> str:
        """When the judges are to notice it, in words."""
        return MOMENTS[self.saying.moment]

    @property
    def value(self) -> str:
        """What names this place in a form."""
        return f"{self.saying.segment_id}:{self.saying.start}"

    @property
    def quote(self) -> tuple[str, str, str]:
        """Its sentence: before the words, the words themselves, after them."""
        said = self.saying
        start, end = said.start - said.sentence_start, said.end - said.sentence_start
        return said.sentence[:start], said.sentence[start:end], said.sentence[end:]


@dataclass(frozen=True)
class Touch:
    """A cure that is one touch away, with what it is called where there is little room."""

    id: str
    words: str


ORIGINS: dict[str, str] = {
    "temperature": "drunk_c", "strength": "abv_percent", "amount": "volume_ml",
}  # fmt: skip
"""Kind of claim -> the figure of the glass that it is held against with no ingredient beside it."""


@dataclass(frozen=True)
class LedgerLine:
    """A claim of the ledger as the page shows it."""

    id: str
    row: LedgerRow
    badge: Badge
    further: tuple[Badge, ...]
    kind: str
    drink: str
    gist: str
    places: tuple[Place, ...]
    touches: tuple[Touch, ...]
    about_id: str
    """The segment in which it is said, or could be: the first about its drink."""

    @property
    def label(self) -> str:
        """Its words, as a line begins."""
        return self.row.label[:1].upper() + self.row.label[1:]

    @property
    def shown(self) -> tuple[Place, ...]:
        """The places that are listed, the first ones."""
        return self.places[:MOST_PLACES]

    @property
    def hidden(self) -> int:
        """How many places are not listed."""
        return len(self.places) - len(self.shown)

    @property
    def ingredient_id(self) -> str | None:
        """The ingredient that its number is held against, or that gives most of it."""
        return self.row.backings[0].ingredient_id if self.row.backings else None

    @property
    def origin(self) -> str:
        """The figure of its drink's glass that it is held against; "" where it is none."""
        row = self.row
        if not (row.drink_id and row.is_checked) or self.ingredient_id:
            return ""
        name = ORIGINS.get(row.kind, "")
        return f"{name}.{row.drink_id}" if name else ""

    @property
    def can_be_listed(self) -> bool:
        """Whether it can be put on the card of its drink."""
        if self.row.is_asked:
            return False
        return bool(self.row.drink_id and self.row.word) and "unplanned" in self.row.states

    @property
    def can_be_taken_off(self) -> bool:
        """Whether it is on the card and nobody says it."""
        return bool(self.row.drink_id) and self.row.is_planned and not self.row.sayings


@dataclass(frozen=True)
class ClaimGroup:
    """Claims in one fold: what they have in common, and the first few by name."""

    id: str
    name: str
    lines: tuple[LedgerLine, ...]

    @property
    def few(self) -> str:
        """The first of them, in words."""
        names = list(dict.fromkeys(line.row.label for line in self.lines))
        return ", ".join(names[:FEW]) + (", and more" if len(names) > FEW else "")


def lines_of(found: Checked, routine: Routine, filters: Filters) -> list[LedgerLine]:
    """The claims that the filters let through: the most pressing first, then as they are said."""
    rank = list(WORDS)
    rows = sorted(found.ledger.every, key=lambda row: rank.index(badge_key(row)))
    return [line_of(row, routine) for row in rows if filters.takes(row)]


def tallies(found: Checked) -> list[tuple[str, str, int]]:
    """Each tally with its words and its number; what is undeclared is to be settled too.

    Whether something is perhaps said is told only where anything is.
    """
    keys = [tally_of(row) for row in found.ledger.every]
    keys += ["settle"] * len(found.undeclared)
    told = [(key, words, keys.count(key)) for key, words in SHOWN.items()]
    return [each for each in told if each[0] != ASKED or each[2]]


def headline(found: Checked) -> str:
    """What the ledger says in one line."""
    wanting = found.open_points
    if not found.ledger.rows and not wanting:
        return (
            "Nothing is claimed for sure yet" if found.ledger.perhaps else "Nothing is claimed yet"
        )
    if not wanting and not any(drink.ingredients for drink in found.case.drinks):
        return "No recipe yet to hold the claims against"
    if not wanting:
        unchecked = any(not row.is_checked for row in found.ledger.rows)
        return "Every claim that can be checked holds" if unchecked else "Every claim holds"
    wrong = sum(row.state == "contradicted" for row in found.ledger.rows)
    claims = "1 claim" if wanting == 1 else f"{wanting} claims"
    if wanting == wrong == 1:
        return "1 claim to settle: it is wrong"
    told = {0: "", 1: ", one is wrong"}.get(wrong, f", {wrong} are wrong")
    return f"{claims} to settle{told}"


def groups_of(lines: Sequence[LedgerLine], routine: Routine) -> list[ClaimGroup]:
    """What holds, by drink; what is of no drink in particular comes last."""
    names = [(drink.id, drink.name) for drink in routine.drinks]
    found = [
        ClaimGroup(key or NO_DRINK, name, tuple(each for each in lines if each.row.drink_id == key))
        for key, name in [*names, (None, "No drink in particular")]
    ]
    return [group for group in found if group.lines]


def kinds_in(found: Checked) -> dict[str, str]:
    """The kinds of claim there are, with their words."""
    there = {row.kind for row in found.ledger.rows}
    return {kind: words for kind, words in KINDS.items() if kind in there}


def line_of(row: LedgerRow, routine: Routine) -> LedgerLine:
    """A claim as a line."""
    names = {part.id: (n, part.name) for n, part in enumerate(routine.segments, 1)}
    drinks = {drink.id: drink.name for drink in routine.drinks}
    key = badge_key(row)
    others = [badge(state) for state in row.states[1:]] if key != UNCHECKED else []
    about = [each.id for each in routine.segments if row.drink_id and each.drink_id == row.drink_id]
    about = [row.in_hands] if row.in_hands else about
    return LedgerLine(
        id=id_of_row(row.key),
        row=row,
        badge=badge_of(row),
        further=tuple(others),
        kind=KINDS[row.kind],
        drink=drinks.get(row.drink_id or "", ""),
        gist=_gist(row, routine),
        places=tuple(_place(saying, names) for saying in row.sayings),
        touches=tuple(
            Touch(cure.id, cure.short) for cure in cures_of(row, routine) if cure.is_likely
        ),
        about_id=next((said.segment_id for said in row.sayings), about[0] if about else ""),
    )


def _gist(row: LedgerRow, routine: Routine) -> str:
    """What a line says of a claim before it is opened."""
    if row.is_asked:
        return _around(row.sayings[0])
    held = held_as_meant(row, routine)
    if held is not None:
        return f"The recipe has {held.words}"
    if row.state == "unsaid":
        return "On the card, in no sentence"
    if badge_of(row) is AT_ODDS:
        # What it is at odds with is told last, one sentence each.
        return row.why[-len(row.clashes_with)].removesuffix(".")
    if row.kind == "descriptor" and row.backings and row.polarity == "has":
        first = row.backings[0]
        if first.ingredient_id is None:
            return first.label[:1].upper() + first.label[1:]
        share = 100 * (first.share or 0.0)
        part = f", {share:.0f} % of the glass" if share >= 1 else ""
        return f"From {first.label.split(',')[0]}{part}"
    # How its warmth could be known is told where it is opened, not on each line.
    return row.why[0].removesuffix(TO_KNOW_WARMTH).rstrip(". ")


def _around(said: Saying) -> str:
    """The words around it, from which whoever wrote them can tell what it is."""
    before = said.sentence[: said.start - said.sentence_start]
    behind = said.sentence[said.end - said.sentence_start :]
    first, last = before.rsplit(maxsplit=AROUND), behind.split(maxsplit=AROUND)
    if len(first) > AROUND:
        before = f"… {before[len(first[0]) :].lstrip()}"
    if len(last) > AROUND:
        behind = f"{behind[: len(behind) - len(last[-1])].rstrip()} …"
    return f"“{before}{said.phrase}{behind}”"


def _place(saying: Saying, names: Mapping[str, tuple[int, str]]) -> Place:
    number, name = names[saying.segment_id]
    at = id_of_sentence(saying.segment_id, saying.sentence_index)
    return Place(number, name, at, saying)
