"""A spoken time against the plan's and those on record: of a brew, of steeping, of a step.

What is done must agree (`time_acts`). A time that agrees with any that may be meant holds before
one that differs makes it wrong, and it is wrong only where its own clause tells what it is of. The
slot is meant where the words speak of it, or of nothing else. Acts are told in English.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from server.domain.base.languages import stem
from server.domain.base.tokens import words_kept
from server.domain.claims.backing import Judgement
from server.domain.claims.compare_amounts import within
from server.domain.claims.compare_numbers import spoken_duration
from server.domain.claims.facts import FINISH, SLOT, STEEPING, WAITING, KnownNumber
from server.domain.claims.finds import Find
from server.domain.claims.handling.bare_steps import WAITS
from server.domain.claims.handling.waits import is_like_wait, waits_of
from server.domain.claims.spoken.around import Clause, clause_of, clauses_before
from server.domain.claims.spoken.time_acts import ACTS, act_of, acts_named
from server.domain.routine.drink import Drink
from server.domain.routine.tolerance import Tolerance

_OF_A_SHOT = frozenset({"brew"})
_OF_A_DRIP = frozenset({"brew", "steep", "stand", "filter"})
_OF_A_STEEPING = frozenset({"brew", "steep", "stand", "rest"})
_OF_A_WAIT = frozenset({"stand", "rest"})

LIKE = 2.0
"""So many times longer or shorter, a time that is not told to be a brew's may still be meant for
it: "I left it twelve hours" of one that stands fourteen. Ours."""

_WITHIN_A_BREW = frozenset(
    {
        "bloom", "blooms", "blooming", "pour", "pours", "pulse", "pulses", "wait", "first", "every",
        "grind", "grinds", "stir", "stirs", "rest", "rests", "ago", "since", "before", "within",
        "preinfusion", "pre", "another", "last", "then", "left", "until",
    }
)  # fmt: skip
"""Beside one of these a time is that of a part of a brew, or of something around it."""

_LEFT = frozenset({"left", "then"})
"""Those of them that a whole brew is told with too: "left to steep"."""

_SLOT = frozenset(
    {
        "slot", "talk", "presentation", "performance", "routine", "show", "stage", "altogether",
        "zeit", "temps", "tiempo", "tempo",
    }
)  # fmt: skip
_HAVE = frozenset(
    {
        "i've", "we've", "you've", "have", "got", "give", "gives", "given", "allowed", "had",
        "promise", "promised",
    }
)  # fmt: skip
"""Beside one of these, and no act, the slot is spoken of: "we have ten minutes"."""

_I_FINISH = frozenset({"i", "we", "i'll", "we'll", "to", "will", "must", "should", "target"})
"""Before "finish" these tell that the talk's is meant, not that of a taste."""

_SMALL = frozenset(
    {
        "in", "under", "within", "about", "just", "only", "for", "a", "the", "okay", "so", "judges",
        "all", "total", "it", "takes", "that's", "is", "it's", "are", "over", "and", "around",
    }
)  # fmt: skip


@dataclass(frozen=True)
class _Known:
    """A time that may be meant, and the acts it is one of (none where its name tells none): also
    that of a brew, or of a step in which the drink stands (`is_wait`).
    """

    number: KnownNumber
    acts: frozenset[str]
    is_brew: bool = False
    is_wait: bool = False


@dataclass(frozen=True)
class _Told:
    """A spoken time with what its clause and those before it tell."""

    find: Find
    clause: Clause
    act: str
    earlier: tuple[str, ...]
    """What was done by the clause before that tells it."""
    acts: frozenset[str]
    """All that its sentence tells to be done."""

    @property
    def ends(self) -> tuple[float, float]:
        return self.find.low or 0.0, self.find.high or 0.0


def time_judged(
    find: Find,
    sentence: str,
    planned: Sequence[KnownNumber],
    drinks: Sequence[Drink],
    named: Collection[str],
    tolerance: Tolerance,
) -> Judgement:
    """The state of a spoken duration; `named` are the ingredients named last before it."""
    clause = clause_of(find, sentence)
    act = act_of(clause.before, clause.behind)
    earlier = () if act else _earlier(find, sentence)
    told = _Told(find, clause, act, earlier, acts_named(sentence))
    brews = list(_brews(drinks, find.ingredient_ids))
    waits = [_Known(number, WAITS, is_wait=True) for number in waits_of(drinks)]
    known = [*map(_planned, planned), *brews, *waits]
    spoken = spoken_duration(*told.ends)
    for each in sorted(known, key=lambda each: abs(each.number.high - told.ends[1])):
        number, slack_s = each.number, _slack_s(told, each.number, tolerance)
        if _may_be_meant(told, each, tolerance) and within(
            find, told.ends, (number.low, number.high), slack_s
        ):
            if each.is_brew and not _is_near_enough(told, number):
                why = f"{number.label} takes {_duration(number)}: near it, and not that."
                return Judgement("unbacked", f"You say {spoken}; {why}", is_checked=False)
            why = f"{number.label} takes {_duration(number)}, within {slack_s:g} s."
            return Judgement("backed", f"You say {spoken}; {why}")
    count = sum(1 for drink in drinks for part in drink.ingredients if part.brew is not None)
    for each in known:
        if each.is_brew and len(brews) < count and not find.ingredient_ids:
            continue
        if _is_meant(told, each, named):
            number = each.number
            slack_s = _slack_s(told, number, tolerance)
            held = f"{_duration(number)} for {number.label}"
            source = "recipe" if each.is_brew or each.is_wait or number.ingredient_id else "plan"
            why = f"You say {spoken}, the {source} has {held}: more than {slack_s:g} s off."
            return Judgement("contradicted", why, held=number)
    why = f"You say {spoken}; nothing that is planned or on record takes that long."
    return Judgement("unbacked", why, is_checked=False)


def _brews(drinks: Sequence[Drink], owners: Collection[str]) -> Iterable[_Known]:
    """The time of each brew that has it on record: of those that are named, else of all."""
    parts = [part for drink in drinks for part in drink.ingredients if part.brew is not None]
    for part in [part for part in parts if part.id in owners] or parts:
        brew = part.brew
        if brew is None or brew.time_s is None:
            continue
        number = KnownNumber("time", f"brewing {part.name}", brew.time_s, brew.time_s, part.id)
        acts = {"espresso": _OF_A_SHOT, "immersion": _OF_A_STEEPING}.get(brew.kind, _OF_A_DRIP)
        yield _Known(number, acts, is_brew=True)


def _planned(number: KnownNumber) -> _Known:
    if number.about in (STEEPING, WAITING):
        return _Known(number, _OF_A_STEEPING if number.about == STEEPING else _OF_A_WAIT)
    acts = frozenset(act for name in number.about for act in acts_named(name))
    return _Known(number, acts)


def _earlier(find: Find, sentence: str) -> tuple[str, ...]:
    """ "I brew it on paper, twenty grams, three minutes": the act before clauses with amounts."""
    for words in clauses_before(find, sentence, _MOST_BEFORE):
        if act := act_of(words, ()):
            return (act,)
    return ()


_MOST_BEFORE = 3


def _may_be_meant(told: _Told, each: _Known, tolerance: Tolerance) -> bool:
    number = each.number
    if _is_of_slot(number):
        return _speaks_of_slot(told, number)
    if told.act and told.act not in each.acts:
        return not each.acts and bool(_content(number.about) & _stems(told.clause))
    if not told.act and each.is_wait:
        # "Give it forty minutes on the counter."
        return told.find.bound in ("exactly", "about") and told.ends == (number.low, number.high)
    if not told.act and each.acts and not each.is_brew and not _tells(told, each):
        return False
    # "Under ten minutes" is met by much: what is named is meant, else the nearest.
    is_named = bool(told.act) or bool(_content(number.about) & _stems(told.clause))
    return is_named or told.find.bound in ("exactly", "about") or _is_close(told, each, tolerance)


def _tells(told: _Told, each: _Known) -> bool:
    """Whether a time without an act in its clause may be that of a step: its sentence has the act,
    or is nothing but the time, "… he shakes it. Fifteen seconds".
    """
    return bool(each.acts & told.acts) or len(told.clause.words) <= _HARDLY_A_WORD


_HARDLY_A_WORD = 2


def _is_meant(told: _Told, each: _Known, named: Collection[str]) -> bool:
    """Whether the words leave no doubt that a time is said of this."""
    number = each.number
    words = told.clause.words
    if _is_of_slot(number):
        names_it = _finishes(told.clause) if number.about == FINISH else "slot" in words
        return names_it and not told.act
    if each.is_wait:
        is_of_it = not told.find.ingredient_ids and not named
        return is_of_it and is_like_wait(told.find, told.act, told.clause, number)
    if each.is_brew or number.about == STEEPING:
        return _is_meant_brew(told, each, named)
    if each.acts:
        # Many things are brewed, steeped or left; a shake is a shake.
        is_of_it = told.act not in _OF_A_STEEPING or _names_it(told.clause, number)
        return told.act in each.acts and is_of_it
    return bool(_content(number.about) & _stems(told.clause))


def _names_it(clause: Clause, number: KnownNumber) -> bool:
    """ "Brew the coffee": the coffee is named with it, or the act by its noun: "the brew"."""
    names = [word for name in number.about for word in words_kept(name)]
    things = _content([word for word in names if word not in ACTS])
    pairs = list(pairwise(("", *clause.before, "", *clause.behind)))
    nouns = {word for before, word in pairs if before in _NOUNS and word in names}
    nouns |= {word for word, behind in pairs if behind in _TAKES and word in names}
    return bool(things & _stems(clause)) or bool(nouns)


_NOUNS = frozenset({"the", "my", "our", "whole", "that", "this"})
_TAKES = frozenset({"takes", "took", "lasts", "lasted", "needs", "is"})


def _is_meant_brew(told: _Told, each: _Known, named: Collection[str]) -> bool:
    words = told.clause.words
    if words & (_WITHIN_A_BREW - _LEFT):
        return False
    is_of_another = bool(named) and each.number.ingredient_id not in named
    if told.act in ("brew", "steep") and told.act in each.acts:
        # Herbs and peels are infused too.
        return told.act == "brew" or not is_of_another
    is_alike = 1 / LIKE <= told.ends[1] / max(each.number.high, 1.0) <= LIKE
    if told.act == "stand":
        return is_alike and "stand" in each.acts and each.number.ingredient_id in named
    return not told.act and is_alike and "brew" in told.earlier and told.find.bound == "exactly"


def _is_of_slot(number: KnownNumber) -> bool:
    return number.about in (SLOT, FINISH)


def _speaks_of_slot(told: _Told, number: KnownNumber) -> bool:
    """Whether the words may mean the slot, or its target: they name it, or nothing at all."""
    words = told.clause.words
    if told.act:
        return False
    if number.about == FINISH:
        return _finishes(told.clause)
    return bool(words & (_SLOT | _HAVE)) or words <= _SMALL


def _finishes(clause: Clause) -> bool:
    """ "I finish at nine thirty", where a taste's finish is another thing."""
    said = (*clause.before, "", *clause.behind)
    return any(
        before in _I_FINISH and word in ("finish", "finished") for before, word in pairwise(said)
    )


def _slack_s(told: _Told, number: KnownNumber, tolerance: Tolerance) -> float:
    return tolerance.time_slack_s(number.high, about=told.find.bound == "about")


MOST_OF_A_BREW = 0.1
"""A brew's time that is said outright holds within this share of it: twenty-four seconds are not
thirty. Farther off, within what is allowed, it neither holds nor is wrong. Ours."""


def _is_near_enough(told: _Told, number: KnownNumber) -> bool:
    is_outright = told.find.bound == "exactly"
    slack_s = MOST_OF_A_BREW * number.high
    return not is_outright or within(told.find, told.ends, (number.low, number.high), slack_s)


def _is_close(told: _Told, each: _Known, tolerance: Tolerance) -> bool:
    """Whether a bound is itself what is known: "under ten minutes" of a slot of ten."""
    number = each.number
    slack_s = tolerance.about_ratio * number.high
    return number.low - slack_s <= told.ends[1] <= number.high + slack_s


def _stems(clause: Clause) -> set[str]:
    return {stem(word, "en") for word in clause.words}


def _content(names: Sequence[str]) -> set[str]:
    """The stems of the telling words of names: four letters or more."""
    return {stem(word, "en") for name in names for word in words_kept(name) if len(word) >= 4}


def _duration(number: KnownNumber) -> str:
    return spoken_duration(number.low, number.high)
