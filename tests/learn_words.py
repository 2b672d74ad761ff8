"""Learns the weights of the second look anew, from all open labelled texts.

`python -m tests.learn_words` writes `server/domain/claims/learnt/weights.json`;
`python -m tests.learn_words --check` writes nothing and tells how well each writer's texts are read
with weights learnt from all others. Do it when rules, words or labelled texts have changed; the
weights come out the same each time.

Rules that were tuned on a text read it better than they read others, and weights learnt from that
would trust them too much: what rules made of a text counts only where it is of `UNSEEN`.
"""

import json
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from server.domain.claims import finder
from server.domain.claims.context import Role
from server.domain.claims.finds import Passage
from server.domain.claims.learnt import second_look as looks
from server.domain.claims.learnt.mention_told import Told
from server.domain.claims.learnt.surroundings import surroundings
from server.domain.claims.learnt.weights import POLARITIES, Weights
from tests.domain.claims import said
from tests.domain.claims.drinks.all_drinks import DRINKS

WRITTEN = Path("server/domain/claims/learnt/weights.json")
UNSEEN = (*(name for name, half in said.WHOLLY.items() if half == "open"), *said.LEARNT_FROM)
"""Classes of texts that rules were never tuned on."""

OPEN = (*said.PRACTICE, *said.LEARNT_FROM)
"""Classes that are open throughout."""

WRITERS = (
    *said.OPEN_WRITERS, "pier", "dune", "forge", "glade", "barge", "fair", "hill", "voices",
)  # fmt: skip
"""In the name of a class these tell who wrote it; the others are of the first hand."""

LEAST_TIMES = 3
"""What stands in fewer texts is chance."""

MOST_CLAIM, MOST_TOLD = 4000, 600
"""Weights that are kept, the heaviest by how often they speak; then all are learnt again."""

SILENCE = 4.0
"""How much more a word counts that stands in a text without any claim: to find one there is worse
than to miss one."""

CLAIM_SLACK, TOLD_SLACK = 0.05, 0.3
"""How far weights may go from 0 for what they explain: the inverse of the ridge."""


@dataclass(frozen=True)
class Example:
    """A word of taste in a text: what speaks for what it is, and what it is."""

    writer: str
    text: said.Said
    names: tuple[str, ...]
    names_told: tuple[str, ...]
    wanted: str
    """How it is claimed, or "" where it is no claim."""
    told: Told
    way: str
    """What rules make of it, and how they would have it claimed if it were."""
    is_written: bool
    """Whether the text is as written, or as speech is recognised."""

    @property
    def ruled(self):
        """How rules have it claimed, or ""."""
        return self.told.polarity if self.told.role is Role.CLAIM else ""


def examples(names=(*said.CLASSES, *OPEN)):
    """All words of taste of the open texts in English, each as written and as recognised."""
    found = []
    for name in names:
        writer = next((one for one in WRITERS if one in name), "first")
        for one in said.read(name):
            is_open = name in OPEN or not one.is_locked
            if is_open and one.language == "en":
                for text, is_written in ((one, True), (said.as_heard(one), False)):
                    found += _of_text(text, writer, name in UNSEEN, is_written)
    return found


def _of_text(text, writer, is_unseen, is_written):
    scenes = []

    def told_in(scene, language):
        told = looks.first_look(scene, language)
        scenes.append((scene, told))
        return told

    drink = DRINKS[text.drink_id]
    with patch.object(finder, "told_in", told_in):
        finder.find_claims([Passage("s", text.text, drink.id)], (drink,), "en")
    left = [one for one in text.labels if one.kind == "descriptor"]
    for scene, told in scenes:
        for place, around in surroundings(scene, told):
            one = told[place]
            ruled = around.ruled if is_unseen else ("rules unseen",)
            names = (*around.said, *ruled)
            way = one.polarity if one.role is Role.CLAIM else looks.way_told(scene, one.mention)
            wanted = _label_of(scene, one.mention, left)
            denial = looks.of_denial(around, way)
            yield Example(writer, text, names, (*names, *denial), wanted, one, way, is_written)


def _label_of(scene, mention, left):
    start, end = scene.tokens[mention.first].start, scene.tokens[mention.end - 1].end
    for label in left:
        is_here = label.start < end and start < label.end
        if is_here and said.is_same(mention.descriptor.word, label.word):
            left.remove(label)
            return label.polarity
    return ""


def learn(told):
    """The weights that explain the examples best."""
    claims = [one for one in told if one.wanted]
    claim = _fit(
        [one.names for one in told],
        [int(bool(one.wanted)) for one in told],
        [1.0 if one.text.labels else SILENCE for one in told],
        CLAIM_SLACK,
        MOST_CLAIM,
    )
    way = _fit(
        [one.names_told for one in claims],
        [POLARITIES.index(one.wanted) for one in claims],
        [1.0] * len(claims),
        TOLD_SLACK,
        MOST_TOLD,
    )
    return Weights(
        {name: round(float(each[1] - each[0]), 2) for name, each in claim.items()},
        {name: [round(float(one), 2) for one in each] for name, each in way.items()},
    )


def _fit(rows, wanted, worth, slack, most):
    counts = Counter(name for row in rows for name in set(row))
    kept = sorted(name for name, count in counts.items() if count >= LEAST_TIMES)
    weights = _ridge(rows, wanted, worth, kept, slack)
    if len(kept) > most:
        heavy = np.abs(weights).max(axis=1) * np.sqrt([counts[name] for name in kept])
        kept = sorted(kept[at] for at in np.argsort(-heavy, kind="stable")[:most])
        weights = _ridge(rows, wanted, worth, kept, slack)
    return dict(zip(kept, weights, strict=True))


def _ridge(rows, wanted, worth, kept, slack):
    """Weights (name, outcome) of a logistic regression with a ridge, by L-BFGS."""
    places = {name: at for at, name in enumerate(kept)}
    columns = [sorted({places[name] for name in row if name in places}) for row in rows]
    ends = np.cumsum([0, *map(len, columns)])
    there = csr_matrix(
        (np.ones(ends[-1]), np.concatenate(columns).astype(int), ends), (len(rows), len(kept))
    )
    outcomes = max(wanted) + 1
    hit, shares = np.eye(outcomes)[wanted], np.array(worth)[:, None]

    def loss(flat):
        weights = flat.reshape(len(kept), outcomes)
        sums = there @ weights
        sums -= sums.max(axis=1, keepdims=True)
        logs = sums - np.log(np.exp(sums).sum(axis=1, keepdims=True))
        slope = weights + slack * (there.T @ (shares * (np.exp(logs) - hit)))
        return 0.5 * (weights**2).sum() - slack * (shares * hit * logs).sum(), slope.ravel()

    start = np.zeros(len(kept) * outcomes)
    done = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 300})
    return done.x.reshape(len(kept), outcomes)


def decided(weights, one):
    """How weights have a word claimed, or "" where they take it for none."""
    if weights.speaks_for_a_claim(one.names) <= looks.LEAST_ODDS:
        return ""
    return weights.way_told(one.names_told, one.way, looks.SURE_OF_WAY)


def f1(wanted, decisions):
    """The harmonic mean of precision and recall of (how claimed, or "")."""
    right = sum(one == other != "" for one, other in zip(wanted, decisions, strict=True))
    return 2 * right / (sum(map(bool, wanted)) + sum(map(bool, decisions)))


def check(told):
    """For each writer: F1 of words of taste by rules, and with weights learnt from all others."""
    for writer in dict.fromkeys(one.writer for one in told):
        weights = learn([one for one in told if one.writer != writer])
        for form, is_marked in (("as written", True), ("as recognised", False)):
            own = [one for one in told if one.writer == writer and one.is_written == is_marked]
            wanted = [one.wanted for one in own]
            rules = f1(wanted, [one.ruled for one in own])
            both = f1(wanted, [decided(weights, one) for one in own])
            print(f"{writer} {form}: rules {rules:.3f}, with weights of others {both:.3f}")


def main():
    """Learns, and writes or checks."""
    told = examples()
    if "--check" in sys.argv:
        check(told)
        return
    weights = learn(told)
    content = {"claim": weights.claim, "told": weights.told}
    WRITTEN.write_text(json.dumps(content, indent=0, sort_keys=True, ensure_ascii=False) + "\n")
    print(f"{len(weights.claim)} + {len(weights.told)} weights from {len(told)} words of taste")


if __name__ == "__main__":
    main()
