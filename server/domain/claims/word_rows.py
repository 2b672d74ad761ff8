"""Rows for descriptors: those that are said, and those planned and not said."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from server.domain.claims.backing import STATES, Judgement, State, is_of_temperature
from server.domain.claims.beside.but_for import makes_exception
from server.domain.claims.doubt.words_in_doubt import denial_judged
from server.domain.claims.finds import Find, FindKind
from server.domain.claims.lexicon import LITERAL_FAMILIES
from server.domain.claims.negation import Polarity
from server.domain.claims.planned_claims import covers
from server.domain.claims.rows import LedgerRow, ScriptCase, drinks_of, facts_for, row_key
from server.domain.claims.sayings import TimesOfSayings, saying
from server.domain.claims.tasting.tasted import is_of_length, judged_by_taste
from server.domain.claims.taxonomy import Taxonomy


def word_rows(
    case: ScriptCase, finds: Sequence[Find], taxonomy: Taxonomy, timetable: TimesOfSayings
) -> list[LedgerRow]:
    """A row for each descriptor of a drink that is said, then those that are not."""
    said = _by_word(finds, "descriptor", taxonomy)
    rows = []
    fulfilled: set[tuple[str, str]] = set()
    for (drink_id, word, polarity), places in said.items():
        drinks = drinks_of(case, drink_id)
        plans = [
            (d.id, p)
            for d in drinks
            for p in d.descriptors
            if polarity != "lacks" and covers(word, p, taxonomy)
        ]
        fulfilled.update(plans)
        judgement = judged_by_taste(word, polarity, drinks, facts_for(case, drinks), taxonomy)
        if judgement.state == "contradicted" and polarity == "lacks":
            judgement = _but_for_a_part(judgement, places, timetable)
        if judgement.state == "contradicted" and polarity == "lacks" and case.language == "en":
            judgement = denial_judged(judgement, places, finds, drinks, taxonomy, timetable)
        listed = any(drink.descriptors for drink in drinks)
        row = _word_row(
            word, polarity, drink_id, judgement, places, bool(plans), listed, timetable, taxonomy
        )
        rows.append(_as_listed(row, [phrase for _, phrase in plans], taxonomy))
    return rows + _unsaid_rows(case, fulfilled, taxonomy)


def perhaps_rows(
    case: ScriptCase,
    finds: Sequence[Find],
    rows: Sequence[LedgerRow],
    taxonomy: Taxonomy,
    timetable: TimesOfSayings,
) -> list[LedgerRow]:
    """Rows for what is perhaps said beside these `rows`: only where nothing in the glass gives it.

    What the glass holds cannot be held against the talk, whether it is said of it or not.
    """
    known = {(row.drink_id, row.word) for row in rows}
    found = []
    for (drink_id, word, polarity), places in _by_word(finds, "perhaps", taxonomy).items():
        drinks = drinks_of(case, drink_id)
        if (drink_id, word) in known or any(
            covers(word, plan, taxonomy) for drink in drinks for plan in drink.descriptors
        ):
            continue
        judged = judged_by_taste(word, polarity, drinks, facts_for(case, drinks), taxonomy)
        if judged.state == "contradicted" and polarity == "lacks" and case.language == "en":
            judged = denial_judged(judged, places, finds, drinks, taxonomy, timetable)
        if judged.is_checked and judged.state in ("contradicted", "unbacked"):
            row = _word_row(
                word, polarity, drink_id, judged, places, False, False, timetable, taxonomy
            )
            found.append(row)
    return found


def _by_word(
    finds: Iterable[Find], kind: FindKind, taxonomy: Taxonomy
) -> dict[tuple[str | None, str, Polarity], list[Find]]:
    """Drink, name of the word, how it is told -> where it is said."""
    said: dict[tuple[str | None, str, Polarity], list[Find]] = {}
    for find in finds:
        if find.kind == kind and find.word:
            name = taxonomy.resolve(find.word) or find.word
            said.setdefault((find.drink_id, name, find.polarity), []).append(find)
    return said


def _but_for_a_part(
    judged: Judgement, places: Sequence[Find], timetable: TimesOfSayings
) -> Judgement:
    """ "It hasn't any bitterness except that of the zest": more is said than that there is none."""
    for find in places:
        first, sentence = find.sentence_start, timetable.sentence(find)
        goes_on = sentence[find.end - first :].lstrip(" ,").startswith("but")
        # "No smoke, but honey" denies the smoke all the same.
        if goes_on or not makes_exception(sentence, find.start - first, find.end - first):
            return judged
    why = f"{judged.why} You say so but for a part; that part is not weighed here."
    return Judgement("unbacked", why, is_checked=False)


def _word_row(
    word: str,
    polarity: Polarity,
    drink_id: str | None,
    judgement: Judgement,
    places: Sequence[Find],
    is_planned: bool,
    is_listed: bool,
    timetable: TimesOfSayings,
    taxonomy: Taxonomy,
) -> LedgerRow:
    states, why = [judgement.state], [judgement.why]
    # What is denied is not on a list of what is there; and without a list nothing is off it.
    # How warm a drink is need not be listed either: it is held against the computed temperature.
    # Nor need be how long it stays.
    is_free = is_of_temperature(word, taxonomy) or is_of_length(word, taxonomy)
    if is_listed and not is_planned and polarity == "has" and not is_free:
        states.append("unplanned")
        why.append("It is not on the card.")
    sayings = tuple(saying(find, timetable) for find in places)
    # An ingredient is often introduced by what it brings: only a word never said in time is late.
    if all(said.timing for said in sayings):
        why.append(sayings[0].timing)
    if len(sayings) > 1:
        why.append(f"Said {len(sayings)} times.")
    label = _word_label(word, polarity, taxonomy)
    return LedgerRow(
        key=row_key(drink_id, "descriptor", label),
        kind="descriptor",
        label=label,
        states=_ordered(states),
        why=tuple(why),
        drink_id=drink_id,
        polarity=polarity,
        is_planned=is_planned,
        is_checked=judgement.is_checked,
        is_doubtful=all(find.is_doubtful for find in places),
        backings=judgement.backings,
        sayings=sayings,
        word=word,
    )


def _as_listed(row: LedgerRow, phrases: Sequence[str], taxonomy: Taxonomy) -> LedgerRow:
    """The row under the presenter's own name for it, where the list has one; its key stays."""
    same = (phrase for phrase in phrases if taxonomy.relation(row.word, phrase) == "same")
    label = next(same, row.label) if row.polarity == "has" else row.label
    return row if label == row.label else replace(row, label=label)


def _word_label(word: str, polarity: Polarity, taxonomy: Taxonomy) -> str:
    if polarity == "lacks":
        is_adjective = taxonomy.family(word) in LITERAL_FAMILIES
        return f"not {word}" if is_adjective else f"no {word}"
    return f"{word}, within bounds" if polarity == "some" else word


def _ordered(states: Iterable[State]) -> tuple[State, ...]:
    """The most pressing first; "backed" only where nothing else holds."""
    rank = list(STATES)
    held = sorted(set(states), key=rank.index)
    return tuple(state for state in held if state != "backed" or len(held) == 1)


def _unsaid_rows(
    case: ScriptCase, fulfilled: set[tuple[str, str]], taxonomy: Taxonomy
) -> list[LedgerRow]:
    rows = []
    for drink in case.drinks:
        for phrase in dict.fromkeys(drink.descriptors):
            if (drink.id, phrase) in fulfilled:
                continue
            judgement = judged_by_taste(
                phrase, "has", (drink,), facts_for(case, (drink,)), taxonomy
            )
            unreadable = "" if taxonomy.stems(phrase) else " It has no words to look for."
            rows.append(
                LedgerRow(
                    key=row_key(drink.id, "descriptor", f"unsaid {phrase}"),
                    kind="descriptor",
                    label=phrase,
                    states=_ordered(("unsaid", judgement.state)),
                    why=(
                        f"On the card, but the script never says it.{unreadable}",
                        judgement.why,
                    ),
                    drink_id=drink.id,
                    is_planned=True,
                    backings=judgement.backings,
                    word=phrase,
                )
            )
    return rows
