"""Strategies read off the types: a value of any dataclass of the domain, every field drawn.

What fits is read from the annotations, so that a field that is added later is drawn as well.
What an annotation cannot say (the lowest lies under the likely, a link leads to something that is
there) is put right in `_RULES`; what then still breaks a rule is drawn anew.
"""

import types
from dataclasses import MISSING, fields, is_dataclass, replace
from datetime import date
from functools import cache
from itertools import count
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from annotated_types import Ge, Gt, Le, Lt, MaxLen, MinLen
from hypothesis import reject, settings
from hypothesis import strategies as st
from pydantic.fields import FieldInfo

from server.domain.base.amounts import UNITS, Amount
from server.domain.base.errors import InvalidInput
from server.domain.base.limits import Limit
from server.domain.drift.goals import Goal
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Filter
from server.domain.heard.record import WordRecord
from server.domain.prepare.ticks import PackedTick
from server.domain.routine.drink import Drink
from server.domain.routine.edits import with_new_ids
from server.domain.routine.own_words import Correction, OwnWord
from server.domain.routine.planned import Spread
from server.domain.routine.routine import LANGUAGES, Routine, Segment
from server.domain.routine.rules import RuleSheet
from server.domain.runs.events import NEEDS, WATCHED, Event
from server.domain.tasters.decoys import AskedWord
from server.domain.tasters.record import SittingRecord
from server.domain.tasters.serving import GlassSet, pair_sets, triangle_sets
from server.domain.tasters.sitting import Sitting
from server.domain.whole.routine_file import RoutineFile

WHOLE = settings(max_examples=settings.default.max_examples // 3)
"""A whole routine holds each kind of value several times, and takes as long to draw as many."""

MOST_OF_ONE = 2
LONGEST = 12
LOWEST, HIGHEST = 0.3, 1.6
"""Where no limit is annotated a number lies here: room for it in every rule of the glass."""

# Control characters and lone surrogates cannot be typed into a form or kept in JSON.
_LETTERS = st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp"))


@cache
def drawn(hint: Any) -> st.SearchStrategy[Any]:
    """Values of a type, as its annotation tells them."""
    return _of(hint, [])


def plain(kind: Any) -> st.SearchStrategy[Any]:
    """The same, of a dataclass whose parts (lists, values of other dataclasses) stay away."""
    return _built(kind, tuple(each.name for each in fields(kind) if _is_part(kind, each)))


def _is_part(kind: Any, item: Any) -> bool:
    has_default = item.default is not MISSING or item.default_factory is not MISSING
    hint = get_type_hints(kind)[item.name]
    return has_default and bool(get_origin(hint) is tuple or is_dataclass(hint) or reached(hint))


def reached(hint: Any) -> set[type]:
    """Every dataclass that a value of this type can hold, itself with it."""
    if not is_dataclass(hint):
        return set().union(*(reached(each) for each in get_args(hint)))
    return {hint}.union(*(reached(each) for each in get_type_hints(hint).values()))


def _of(hint: Any, limits: list[Any]) -> st.SearchStrategy[Any]:
    origin, args = get_origin(hint), get_args(hint)
    if origin is Annotated:
        more = [item for note in args[1:] for item in _stated(note)]
        return _of(args[0], [*limits, *more])
    if origin is Literal:
        return st.sampled_from(args)
    if origin in (Union, types.UnionType):
        return st.one_of(*(_of(each, limits) for each in sorted(args, key=_none_first)))
    if origin is tuple:
        return st.lists(drawn(args[0]), max_size=MOST_OF_ONE).map(tuple)
    if origin is dict:
        return st.dictionaries(drawn(args[0]), drawn(args[1]), max_size=1)
    if is_dataclass(hint):
        return _built(hint)
    return _PLAIN[hint](limits)


def _stated(note: Any) -> Any:
    return note.metadata if isinstance(note, FieldInfo) else note if isinstance(note, Limit) else ()


def _none_first(hint: Any) -> bool:
    return hint is not type(None)


def _limit(limits: list[Any], kind: type, name: str, otherwise: Any) -> Any:
    return next((getattr(each, name) for each in limits if isinstance(each, kind)), otherwise)


def _floats(limits: list[Any]) -> st.SearchStrategy[float]:
    above, below = _limit(limits, Gt, "gt", None), _limit(limits, Lt, "lt", None)
    return st.floats(
        float(_limit(limits, Ge, "ge", LOWEST if above is None else above)),
        float(_limit(limits, Le, "le", HIGHEST if below is None else below)),
        exclude_min=above is not None,
        exclude_max=below is not None,
    )


def _texts(limits: list[Any]) -> st.SearchStrategy[str]:
    pattern = next((each.pattern for each in limits if hasattr(each, "pattern")), None)
    longest = min(_limit(limits, MaxLen, "max_length", LONGEST), LONGEST)
    if pattern is not None:
        named = st.from_regex(pattern, fullmatch=True, alphabet=_LETTERS)
        return named.map(lambda text: text[:longest])
    if _limit(limits, MinLen, "min_length", 0):
        return st.text(_LETTERS, min_size=1, max_size=longest).filter(str.strip)
    return st.text(_LETTERS, max_size=longest)


_PLAIN = {
    bool: lambda limits: st.booleans(),
    float: _floats,
    int: lambda limits: st.integers(_limit(limits, Ge, "ge", 0), _limit(limits, Le, "le", 1000)),
    str: _texts,
    type(None): lambda limits: st.none(),
    date: lambda limits: st.dates(),
}

_NAMED = {
    (Amount, "unit"): st.sampled_from(UNITS),
    (Routine, "language"): st.sampled_from(sorted(LANGUAGES)),
}
"""Fields whose few values stand in a list, not in the annotation."""


@st.composite
def _built(draw, kind, left_out=()):
    hints = get_type_hints(kind, include_extras=True)
    values = {
        item.name: draw(_NAMED.get((kind, item.name), drawn(hints[item.name])))
        for item in fields(kind)
        if item.name not in left_out
    }
    rule = _as_drawn if left_out else _RULES.get(kind, _as_drawn)
    try:
        return kind(**rule(draw, values))
    except InvalidInput:
        reject()


# What an annotation cannot say


def _as_drawn(draw, values):
    return values


def _ordered(*names):
    def rule(draw, values):
        given = [name for name in names if values[name] is not None]
        ranks = sorted(values[name] for name in given)
        return values | dict(zip(given, ranks, strict=True))

    return rule


def _brew(draw, values):
    """Of what follows from each other only so much that it cannot contradict itself."""
    if values["beverage_g"] is not None:
        values["water_g"] = None
    if values["water_g"] is not None:
        values["water_g"] += 5
    # Of an immersion, water, dose and strength alone give an extraction, maybe beyond all coffee.
    if values["extraction_percent"] is not None or values["kind"] == "immersion":
        values["tds_percent"] = None
    return values


def _filter(draw, values):
    """Either what comes through or what stays behind."""
    kept, other = draw(st.permutations(["recovered_ml", "loss_percent"]))
    return values | {kept: values[kept] or Figure(1.5), other: None}


def _own_word(draw, values):
    synonyms = tuple("a" + each for each in values["synonyms"])
    return values | {"word": "a" + values["word"], "synonyms": synonyms}


def _correction(draw, values):
    if values["verdict"] == "word":
        values["word"] = "a" + (values["word"] or "")
    if values["verdict"] == "ingredient":
        values["ingredient_id"] = values["ingredient_id"] or "i"
    if values["verdict"] == "drink":
        values["drink_id"] = values["drink_id"] or "d"
    return values


def _event(draw, values):
    hints = get_type_hints(Event, include_extras=True)
    for name in NEEDS[values["kind"]]:
        if values[name] is None:
            values[name] = draw(drawn(hints[name]).filter(lambda value: value is not None))
    if values["kind"] not in WATCHED | {"hold", "resume"}:
        values["at_ms"] = None
    return values


def _segment(draw, values):
    return values | ({"lane": "hands"} if values["helper"] else {})


def _rule_sheet(draw, values):
    values = _ordered("target_s", "slot_s", "cutoff_s")(draw, values)
    return values | {"slot_s": values["slot_s"] or 0.5, "criteria": _numbered(values["criteria"])}


def _drink(draw, values):
    steps = _numbered(values["steps"], "step")
    ingredients = tuple(
        replace(part, after_step_id=_pick(draw, part.after_step_id, [step.id for step in steps]))
        for part in _numbered(values["ingredients"], "part")
    )
    return values | {"steps": steps, "ingredients": ingredients}


def _routine(draw, values):
    """Every link leads somewhere, and nothing waits for what comes later."""
    numbers = count()
    drinks = [with_new_ids(drink, lambda: f"d{next(numbers)}") for drink in values["drinks"]]
    segments = _numbered(values["segments"], "s")
    served, spoken = [each.id for each in drinks], [each.id for each in segments]
    parts = [part.id for drink in drinks for part in drink.ingredients]
    words = {own.word.casefold(): own for own in values["own_words"]}
    return values | {
        "drinks": tuple(
            replace(drink, service=_linked(draw, drink.service, spoken)) for drink in drinks
        ),
        "segments": tuple(
            replace(
                segment,
                drink_id=_pick(draw, segment.drink_id, served),
                after_segment_ids=tuple(spoken[:place]) if segment.after_segment_ids else (),
            )
            for place, segment in enumerate(segments)
        ),
        "processes": tuple(
            _hung(draw, process, spoken, served, parts)
            for process in _numbered(values["processes"], "p")
        ),
        "own_words": tuple(words.values()),
        "corrections": tuple(
            replace(
                each,
                ingredient_id=_pick(draw, each.ingredient_id, parts),
                drink_id=_pick(draw, each.drink_id, served),
            )
            for each in _numbered(values["corrections"], "c")
            if {"ingredient": parts, "drink": served}.get(each.verdict, True)
        ),
    }


def _linked(draw, service, spoken):
    poured, drunk = service.poured_segment_id, service.drunk_segment_id
    return replace(
        service,
        poured_segment_id=_pick(draw, poured, spoken),
        drunk_segment_id=_pick(draw, drunk, spoken),
    )


def _hung(draw, process, spoken, served, parts):
    after = _pick(draw, process.after_segment_id, spoken)
    later = spoken[spoken.index(after) + 1 :] if after else spoken
    return replace(
        process,
        after_segment_id=after,
        before_segment_id=_pick(draw, process.before_segment_id, later),
        vessel_drink_id=_pick(draw, process.vessel_drink_id, served),
        product_id=_pick(draw, process.product_id, parts),
    )


def _file(draw, values):
    """The routine is under the rule sheet of the file, and each run has its plan in it."""
    routine = replace(values["routine"], rule_sheet_id=values["rules"].id)
    keys = sorted(values["plans"])
    runs = tuple(
        replace(run, plan_key=keys[0], events=_numbered(run.events, f"{run.id}-e"))
        for run in _numbered(values["runs"], "run")
        if keys
    )
    # Each is ticked once, in the order in which they are kept.
    ticked = {(each.occasion, each.key): each for each in values["ticked"]}
    ticks = tuple(ticked[key] for key in sorted(ticked))
    tastings = [
        replace(each, sitting=replace(each.sitting, id=f"t{number}"))
        for number, each in enumerate(values["tastings"])
    ]
    takes = tuple(
        replace(take, plan_key=keys[0], run_id=None, beside_run_id=None)
        for take in _numbered(values["takes"], "take")
        if keys
    )
    return values | {
        "takes": takes,
        "routine": routine,
        "runs": runs,
        "ticked": ticks,
        "tastings": tuple(tastings),
    }


def _sitting(draw, values):
    """One drink with words and decoys, or two versions and sets of glasses."""
    if values["kind"] == "list":
        words = AskedWord("plum", "stated"), AskedWord("pear", "near"), *values["words"]
        return values | {"drinks": (draw(drawn(Drink)),), "words": words, "sets": ()}
    sets = {"triangle": triangle_sets, "preference": pair_sets}[values["kind"]](2, values["seed"])
    return values | {"drinks": (draw(drawn(Drink)), draw(drawn(Drink))), "sets": sets}


def _glass_set(draw, values):
    (glasses,) = triangle_sets(1, draw(st.integers(0, 9)))
    return {"versions": glasses.versions, "codes": glasses.codes}


def _sitting_record(draw, values):
    """Each taster has a place of their own, and ticks words that were asked for."""
    words = len(values["sitting"].words)
    tasters = tuple(
        replace(
            each,
            key=f"k{number}",
            place=number + 1,
            answer=replace(
                each.answer,
                ticks=tuple(one for one in each.answer.ticks if one.word < words),
                chosen="",
            ),
        )
        for number, each in enumerate(values["tasters"])
    )
    return values | {"tasters": tasters}


def _packed_tick(draw, values):
    """Of a task, a thing added by hand, or one that follows from the recipes: one of them."""
    kind = (
        "task_id" if values["occasion"] == "made" else draw(st.sampled_from(("thing", "thing_id")))
    )
    key = draw(st.text("abcdefg_", min_size=1, max_size=8))
    return values | {"thing": "", "thing_id": None, "task_id": None} | {kind: key}


def _pick(draw, drawn_id, there):
    return draw(st.sampled_from(there)) if there and drawn_id is not None else None


def _numbered(parts, stem="n"):
    return tuple(replace(part, id=f"{stem}{number}") for number, part in enumerate(parts))


_RULES = {
    Brew: _brew,
    Content: _ordered("low", "value", "high"),
    Correction: _correction,
    Drink: _drink,
    Event: _event,
    Figure: _ordered("low", "value", "high"),
    Filter: _filter,
    Goal: _ordered("low_s", "high_s"),
    OwnWord: _own_word,
    PackedTick: _packed_tick,
    Routine: _routine,
    RoutineFile: _file,
    RuleSheet: _rule_sheet,
    GlassSet: _glass_set,
    Sitting: _sitting,
    SittingRecord: _sitting_record,
    Segment: _segment,
    Spread: _ordered("low_s", "likely_s", "high_s"),
    WordRecord: _ordered("from_ms", "until_ms"),
}
