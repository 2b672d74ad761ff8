"""What a recogniser makes of a take: words misheard, dropped and doubled, digits, shaky times."""

import random
from dataclasses import replace

from rapidfuzz.distance import Levenshtein

from server.domain.heard.words import TimedWord, Transcript

COMMON = (
    "the and you that was for are with his they this have from one had word but what some we "
    "can out other were all there when use your how said each she which their time will way "
    "about many then them write would like these her long make thing see him two has look "
    "more day could come did number sound most people water than first been call who find "
    "down side little world old part under where after place well before still here right "
    "around small large spell house land again change off play point page letter mother "
    "answer found study light plant cover food state keep never last let thought city tree "
    "cross farm hard start might story far sea draw left late run while press close night "
    "real life few north open seem together next white children begin got walk example ease "
    "paper group always music those both mark often bottle until mile river car feet care "
    "second book carry took science eat room friend began idea fish mountain stop once base "
    "hear horse cut sure watch color face wood main enough plain girl usual young ready above "
    "red list though feel talk bird soon body dog family direct pose leave song measure door "
    "product "
)


def recognised(take):
    """What a recogniser makes of a take."""
    rng = random.Random(f"heard {take.name} {take.seed}")
    noise = take.noise
    vocabulary = sorted({*COMMON.split(), *(_bare(word) for word, *_ in take.words)})
    out = []
    behind_s = 0.0
    for word, start_s, end_s, _ in take.words:
        plain = _bare(word)
        roll = rng.random()
        begin = max(behind_s, start_s + rng.gauss(0, noise.shake_s))
        if start_s - behind_s > 1.0 and rng.random() < noise.early:
            begin = start_s - rng.uniform(0.2, 0.6)
        end = max(begin + 0.05, end_s + rng.gauss(0, noise.shake_s))
        behind_s = end
        sure = min(1.0, max(0.05, rng.gauss(0.9, 0.08)))
        if roll < noise.dropped:
            continue
        if roll < noise.dropped + noise.wrong:
            plain, sure = _misheard(plain, vocabulary, rng), min(sure, rng.uniform(0.2, 0.9))
        for piece in plain.split():
            out.append(TimedWord(piece, round(begin, 3), round(end, 3), round(sure, 3)))
        if rng.random() < noise.doubled:
            out.append(TimedWord(rng.choice(COMMON.split()), round(end, 3), round(end, 3), 0.3))
    return Transcript(tuple(_with_digits(out, take.seed % 2 == 0)), timed=True, kind="recognised")


def _bare(word):
    return word.strip(".,!?").lower()


def _misheard(word, vocabulary, rng):
    """Another word that sounds like it, or the word torn in two."""
    if len(word) > 6 and rng.random() < 0.35:
        cut = rng.randrange(2, len(word) - 2)
        return f"{word[:cut]} {word[cut:]}"
    near = sorted(
        (each for each in vocabulary if each != word), key=lambda each: (_apart(word, each), each)
    )
    return rng.choice(near[:4])


def _apart(one, other):
    return Levenshtein.distance(one, other) + (one[0] != other[0]) * 0.5


DIGITS = {
    "ten": "10", "twelve": "12", "fifteen": "15", "twenty": "20", "thirty": "30", "forty": "40",
    "fourteen": "14", "fifty": "50", "sixty": "60", "eighty": "80", "ninety": "90",
    "nineteen": "19", "sixteen": "16", "thirteen": "13", "eighteen": "18",
}  # fmt: skip


def _with_digits(words, wanted):
    """The words with digits for whole numbers, as some recognisers write them."""
    if not wanted:
        return words
    out = []
    for one in words:
        text = DIGITS.get(one.text, one.text)
        if out and out[-1].text in ("20", "30", "50") and one.text == "five":
            out[-1] = replace(out[-1], text=f"{out[-1].text[0]}5", end_s=one.end_s)
            continue
        out.append(replace(one, text="ml" if text == "millilitres" else text))
    return out
