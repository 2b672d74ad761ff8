"""How well and how fast claims are found, and what a pause in typing costs.

Speed is that of the full check (find, judge, ledger) of 1,500 words, 25 planned descriptors and 20
ingredients, against a plain difflib scan of the same words for the same word forms. Times are
processor time, so that what else the machine does counts little.
"""

import difflib
import time
from statistics import median

from server.domain.base.amounts import Amount
from server.domain.base.languages import stem
from server.domain.base.text import LONG_TEXT
from server.domain.base.tokens import tokens_of
from server.domain.claims.finds import Passage
from server.domain.claims.ledger import ledger
from server.domain.claims.lexicon import aliases, lexicon_for
from server.domain.claims.rows import ScriptCase
from server.domain.routine.drink import Drink, Ingredient
from tests.bench.figures import Figure
from tests.domain.claims import labelled

WORDS = 1_500
REPEATS = 15


CLAIMS = 25


def case(dense=False):
    """A script of 1,500 words with 25 claims, or one as dense with claims as the labelled set."""
    sentences = labelled.document()["sentences"]
    plain = [s["text"] for s in sentences if not s["claims"]]
    texts, claims = [], 0
    for sentence in sentences:
        if (dense or claims < CLAIMS) and sentence["claims"]:
            texts.append(sentence["text"])
            claims += len(sentence["claims"])
    count = sum(len(tokens_of(text)) for text in texts)
    filler = 0
    while count < WORDS:
        text = plain[filler % len(plain)]
        texts.insert(2 * filler % (len(texts) + 1), text)
        count += len(tokens_of(text))
        filler += 1
    passages = tuple(
        Passage(f"s{at}", " ".join(texts[at : at + 8]), ("lamp", "orchard")[at // 8 % 2])
        for at in range(0, len(texts), 8)
    )
    return ScriptCase(passages, tuple(full(drink) for drink in labelled.drinks())), count


def full(drink):
    """The drink with ten ingredients and a dozen planned descriptors."""
    extra = ("Plum vinegar", "Fig leaf tea", "Malt syrup", "Rosehip cordial", "Almond milk")
    more = tuple(
        Ingredient(f"{drink.id}-x{number}", name, Amount(10 + number, "ml"))
        for number, name in enumerate(extra[: 10 - len(drink.ingredients)])
    )
    listed = ("plum", "walnut", "caramel", "jasmine", "dark chocolate", "clove", "hay", "black tea")
    words = tuple(dict.fromkeys((*drink.descriptors, *listed)))[:13]
    return Drink(drink.id, drink.name, drink.serves, drink.ingredients + more, words)


def forms_of(case_):
    """Everything that is looked for, as written: {number of words: phrases}."""
    taxonomy = lexicon_for(case_.drinks).taxonomy
    spoken = (word for word in taxonomy.words.values() if not word.is_silent)
    phrases = [form for word in spoken for form in (word.name, *word.forms)]
    for drink in case_.drinks:
        phrases += drink.descriptors
        for part in drink.ingredients:
            phrases += [*part.descriptors, *aliases(part.name)]
    grouped = {}
    for phrase in dict.fromkeys(phrase.lower() for phrase in phrases):
        grouped.setdefault(len(phrase.split()), []).append(phrase)
    return grouped


def scanned(case_, forms):
    """The peer: every run of as many words as a phrase has, looked up by difflib."""
    hits = 0
    for passage in case_.passages:
        words = [token.norm for token in tokens_of(passage.text)]
        for length, phrases in forms.items():
            for at in range(len(words) - length + 1):
                said = " ".join(words[at : at + length])
                hits += bool(difflib.get_close_matches(said, phrases, n=1, cutoff=0.85))
    return hits


def took_ms(work, repeats=REPEATS):
    times = []
    for _ in range(repeats):
        began = time.process_time()
        work()
        times.append((time.process_time() - began) * 1000)
    return median(times)


def first_time(case_):
    """A check that remembers nothing of earlier texts; the lexicon stays compiled."""
    lexicon_for(case_.drinks).slips.clear()
    stem.cache_clear()
    ledger(case_)


def figures(*, dense):
    case_, words = case(dense)
    rows = ledger(case_).rows
    forms = forms_of(case_)
    again_ms, first_ms = took_ms(lambda: ledger(case_)), took_ms(lambda: first_time(case_), 5)
    peer_ms = took_ms(lambda: scanned(case_, forms), 1)
    return {
        "words": words,
        "claims found": sum(len(row.sayings) for row in rows),
        "ingredients": sum(len(drink.ingredients) for drink in case_.drinks),
        "planned": sum(len(drink.descriptors) for drink in case_.drinks),
        "phrases looked for": sum(len(phrases) for phrases in forms.values()),
        "check_ms": round(again_ms, 1),
        "check_of_an_unknown_text_ms": round(first_ms, 1),
        "difflib_ms": round(peer_ms),
        "times_faster": round(peer_ms / again_ms),
        "times_faster_on_an_unknown_text": round(peer_ms / first_ms),
    }


def found():
    halves = {}
    for name, held_out in (("tuned on", False), ("held out", True)):
        score = labelled.score(held_out=held_out)
        right, of = labelled.owners_right(held_out=held_out)
        halves[name] = {
            "claims": score.wanted,
            "precision": round(score.precision, 3),
            "recall": round(score.recall, 3),
            "amounts given to the right ingredient": f"{right} of {of}",
        }
    return halves


def measure(quick):
    """Precision and recall on the labelled sentences, then speed against a plain difflib scan."""
    half = found()
    quality = [
        Figure(f"{what}, {name}", half[name][what], "", aim="at least 0.95")
        for name in half
        for what in ("precision", "recall")
    ]
    texts = {"as asked": False} if quick else {"as asked": False, "dense with claims": True}
    speeds = [each for name, dense in texts.items() for each in speed(name, dense=dense)]
    return quality + speeds + list(worst())


def worst():
    """Texts of the longest kind that were chosen to take long, beside plain words as many."""
    drinks = tuple(full(drink) for drink in labelled.drinks())

    def check_ms(pattern):
        text = (pattern * LONG_TEXT)[:LONG_TEXT]
        return took_ms(lambda: ledger(ScriptCase((Passage("s1", text),), drinks)), 3)

    plain_ms = check_ms("so we come to this ")
    for pattern in ("lemon ", "1°", "30 ml plum rum, ", "no lemon. "):
        yield Figure(f"“{pattern}” without end", check_ms(pattern), "ms", plain_ms, "under 1 s")


def speed(name, *, dense):
    """The check of a script of 1,500 words, known and unknown, beside the peer."""
    took = figures(dense=dense)
    peer_ms = took["difflib_ms"]
    aim = "under 50 ms, ratio under 0.05"
    return [
        Figure(f"check of 1,500 words, {name}", took["check_ms"], "ms", peer_ms, aim),
        Figure(
            f"the same, words never seen, {name}",
            took["check_of_an_unknown_text_ms"], "ms", peer_ms, aim,
        ),
    ]  # fmt: skip
