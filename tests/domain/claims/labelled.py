"""The hand-labelled sentences, and how well the finder does on them.

Odd numbers are the half that rules were tuned on; even ones are kept for the final figure and are
only counted, never shown.
"""

import json
from dataclasses import dataclass
from pathlib import Path

from server.domain.base.amounts import Amount
from server.domain.base.tokens import tokens_of
from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.claims.said_numbers import numbers_in
from server.domain.claims.taxonomy import shipped
from server.domain.routine.drink import Drink, Ingredient

SOURCE = Path(__file__).with_name("labelled.json")


KINDS = ("descriptor", "amount", "temperature", "strength", "time", "serves")
"""The kinds that are labelled here; for the others see `said`."""


@dataclass(frozen=True)
class Score:
    right: int
    found: int
    wanted: int

    @property
    def precision(self):
        return self.right / self.found

    @property
    def recall(self):
        return self.right / self.wanted


def document():
    return json.loads(SOURCE.read_text(encoding="utf-8"))


def drinks():
    return tuple(
        Drink(
            id=drink["id"],
            name=drink["name"],
            serves=drink["serves"],
            ingredients=tuple(
                Ingredient(
                    part["id"], part["name"], Amount(**part["amount"]), tuple(part["descriptors"])
                )
                for part in drink["ingredients"]
            ),
            descriptors=tuple(drink["descriptors"]),
        )
        for drink in document()["drinks"]
    )


def sentences(*, held_out):
    return [s for s in document()["sentences"] if (s["number"] % 2 == 0) == held_out]


def finds_of(sentence):
    passage = Passage(str(sentence["number"]), sentence["text"], sentence["drink_id"])
    finds = find_claims([passage], drinks())
    return [find for find in finds if find.kind in KINDS and not is_bare(find)]


def is_bare(find):
    """A number whose unit is left out: these sentences are labelled where a unit is said."""
    tokens = tokens_of(find.phrase)
    numbers = numbers_in(tokens)
    return find.kind != "descriptor" and bool(numbers) and numbers[0].end == len(tokens)


def agrees(find, label):
    """The same kind and content, at an overlapping place."""
    if find.kind != label["kind"] or find.end <= label["start"] or label["end"] <= find.start:
        return False
    if find.kind == "descriptor":
        same = find.word == label["word"] or is_same_place(find.word, label["word"])
        return same and find.polarity == label["polarity"]
    values = {(find.low, find.high)} | {(value, value) for value in find.also}
    near = any(
        abs(low - label["low"]) < 0.01 * max(1, label["low"])
        and abs(high - label["high"]) < 0.01 * max(1, label["high"])
        for low, high in values
    )
    return near and find.unit == label["unit"]


def is_same_place(word, labelled):
    """ "ripe pear" on the drink's list is what a label calls pear."""
    taxonomy = shipped()
    placed = taxonomy.resolve(labelled)
    return placed is not None and placed in (taxonomy.resolve(word), *taxonomy.ancestors(word)[:1])


def compared(sentence):
    """What was found rightly, found wrongly, and missed in a sentence."""
    left = list(sentence["claims"])
    right, wrong = [], []
    for find in finds_of(sentence):
        label = next((label for label in left if agrees(find, label)), None)
        if label is None:
            wrong.append(find)
        else:
            left.remove(label)
            right.append((find, label))
    return right, wrong, left


def score(*, held_out):
    results = [compared(sentence) for sentence in sentences(held_out=held_out)]
    right = sum(len(result[0]) for result in results)
    return Score(
        right=right,
        found=right + sum(len(result[1]) for result in results),
        wanted=right + sum(len(result[2]) for result in results),
    )


def owners_right(*, held_out):
    """Of the amounts found, how many were given to the labelled ingredient: (right, of)."""
    pairs = [
        (find, label)
        for sentence in sentences(held_out=held_out)
        for find, label in compared(sentence)[0]
        if label["kind"] == "amount"
    ]
    right = sum(
        find.ingredient_ids == ((label["ingredient_id"],) if "ingredient_id" in label else ())
        for find, label in pairs
    )
    return right, len(pairs)


def kind_of_family_exists(word):
    return shipped().resolve(word) is not None
