"""Each planned claim listened for in a talk: where the script says it, then everywhere else."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from server.domain.base.languages import supported
from server.domain.claims.due import DueClaim
from server.domain.claims.finds import Find
from server.domain.claims.ledger import Ledger
from server.domain.claims.lexicon import taxonomy_for
from server.domain.claims.planned_claims import covers
from server.domain.claims.rows import LedgerRow
from server.domain.claims.sayings import Saying
from server.domain.heard.alignment import SentenceMatch
from server.domain.heard.hearing import HeardClaim, Hearing
from server.domain.heard.passages import HeardPassage
from server.domain.heard.phrases import SENTENCE_LIKE, PhrasePlace, Talk
from server.domain.heard.plain_words import plain_words
from server.domain.routine.routine import Routine

AS_LONG = (0.6, 1.6)
"""Words in the place of a sentence, to its own, that may be the sentence misheard."""

LEFT_OUT = "Its sentence was left out."
NOT_SCRIPTED = "Not heard, and the script does not say it of the drink."


@dataclass(frozen=True)
class Listener:
    """All that is asked of a talk for each claim."""

    routine: Routine
    ledger: Ledger
    talk: Talk
    passages: Sequence[HeardPassage]
    finds: Sequence[Find]
    script_finds: Sequence[Find]

    def descriptor(self, due: DueClaim) -> HeardClaim:
        """What was heard of a descriptor."""
        bare = HeardClaim(
            due.key, due.label, "descriptor", due.drink_id,
            due.segment_ids[0] if due.segment_ids else None, "not heard", "", is_ticked=True,
        )  # fmt: skip
        sayings = self._sayings(due) or self._unseen(due)
        found = [self._at(bare, each, each.phrase) for each in sayings]
        best = _best(found)
        if best is None or best.hearing != "heard":
            best = _best([*found, self._elsewhere(bare, due)])
        return best or self._absent(bare, (), LEFT_OUT if due.is_scripted else NOT_SCRIPTED)

    def spoken(self, row: LedgerRow) -> HeardClaim:
        """What was heard of a number, or of another claim that is no descriptor."""
        bare = HeardClaim(
            row.key, row.label, row.kind, row.drink_id, row.sayings[0].segment_id, "not heard", ""
        )
        found = [self._number_at(bare, each) for each in row.sayings]
        best = _best(found) or self._absent(bare, ())
        if best.hearing == "heard" and row.state == "contradicted":
            return replace(best, hearing="listen", why=row.why[0])
        return best

    def _sayings(self, due: DueClaim) -> list[Saying]:
        taxonomy = taxonomy_for(supported(self.routine.language).code, self.routine.own_words)
        return [
            saying
            for row in self.ledger.rows
            if row.kind == "descriptor" and row.polarity != "lacks"
            if row.drink_id in (due.drink_id, None) and covers(row.word, due.label, taxonomy)
            for saying in row.sayings
            if saying.segment_id in due.segment_ids
        ]

    def _unseen(self, due: DueClaim) -> list[Saying]:
        """Where the script has its very words and nobody saw a claim in them."""
        wanted = self.talk.stems(due.label)
        found = []
        for match in self.talk.alignment.matched:
            words = plain_words(match.text, self.routine.language)
            stems = [each.stem for each in words]
            for at in range(len(words) - len(wanted) + 1):
                if (
                    match.segment_id not in due.segment_ids
                    or stems[at : at + len(wanted)] != wanted
                ):
                    continue
                start = match.start + words[at].start
                end = match.start + words[at + len(wanted) - 1].end
                if not self._is_name(match.segment_id, start, end):
                    phrase = match.text[words[at].start : words[at + len(wanted) - 1].end]
                    found.append(
                        Saying(
                            match.segment_id, start, end, phrase, match.text, match.index,
                            match.start, match.end,
                        )
                    )  # fmt: skip
        return found

    def _is_name(self, segment_id: str, start: int, end: int) -> bool:
        """Whether the script names an ingredient there."""
        return any(
            find.kind == "ingredient"
            and find.segment_id == segment_id
            and find.start < end
            and start < find.end
            for find in self.script_finds
        )

    def _match(self, saying: Saying) -> SentenceMatch | None:
        return self.talk.matches.get((saying.segment_id, saying.sentence_index))

    def _at(self, bare: HeardClaim, saying: Saying, phrase: str) -> HeardClaim:
        """What was heard where the script says it."""
        match = self._match(saying)
        stems = self.talk.stems(phrase)
        if match is None or not match.is_found:
            return self._lost(bare, saying, stems)
        first, stop = self.talk.around(match)
        place = self.talk.literal(stems, first, stop)
        if place is not None:
            return self._heard(bare, place, saying.segment_id)
        first, stop = self._window(match, saying)
        return self._unsure(bare, stems, first, stop, match, saying.segment_id)

    def _number_at(self, bare: HeardClaim, saying: Saying) -> HeardClaim:
        """What was heard of a number where the script says it."""
        match = self._match(saying)
        stems = self.talk.stems(saying.phrase)
        if match is None or not match.is_found:
            return self._lost(bare, saying, stems)
        first, stop = self._window(match, saying)
        place = self.talk.literal(stems, first, stop)
        beside = [] if place is None else [*range(first, place.first), *range(place.stop, stop)]
        if place is not None and not self.talk.has_number(beside):
            return self._heard(bare, place, saying.segment_id)
        said = self.talk.text(first, stop)
        if place is not None:
            why = f"Heard “{said}”, planned “{saying.phrase}”: there is more in it."
        elif said:
            why = f"Heard “{said}”, planned “{saying.phrase}”."
        else:
            why = f"“{saying.phrase}” was not understood where it is planned."
        return self._listen(bare, first, stop, match, why, saying.segment_id)

    def _window(self, match: SentenceMatch, saying: Saying) -> tuple[int, int]:
        begin = saying.start - match.start
        return self.talk.window(match, begin, begin + saying.end - saying.start)

    def _unsure(
        self,
        bare: HeardClaim,
        stems: Sequence[str],
        first: int,
        stop: int,
        match: SentenceMatch,
        segment_id: str,
    ) -> HeardClaim:
        """A sentence was said, but not with these very words."""
        place = self.talk.like(stems, *self.talk.around(match))
        if place is not None:
            why = f"Heard “{self.talk.text(place.first, place.stop)}”: it may have been this."
            return self._listen(bare, place.first, place.stop, match, why, segment_id)
        said = self.talk.text(first, stop)
        why = f"Heard “{said}” in its place." if said else "Its sentence was said, the word not."
        return self._listen(bare, first, stop, match, why, segment_id)

    def _lost(self, bare: HeardClaim, saying: Saying, stems: Sequence[str]) -> HeardClaim:
        """Its sentence was not found: perhaps something like it in the talk between."""
        first, stop = self.talk.missing(saying.segment_id, saying.sentence_index)
        free = [at for at in range(first, stop) if at not in self.talk.owned]
        if free:
            place = self.talk.like(stems, free[0], free[-1] + 1)
            if place is not None:
                why = f"Heard “{self.talk.text(place.first, place.stop)}”: it may have been this."
                return self._listen(bare, place.first, place.stop, None, why, saying.segment_id)
            whole = self.talk.stems(saying.sentence)
            place = self.talk.like(whole, free[0], free[-1] + 1, SENTENCE_LIKE)
            if place is None and AS_LONG[0] <= len(free) / len(whole) <= AS_LONG[1]:
                place = PhrasePlace(free[0], free[-1] + 1, 0.0)
            if place is not None:
                why = "Something was said there that was not understood."
                return self._listen(bare, place.first, place.stop, None, why, saying.segment_id)
        return self._absent(replace(bare, segment_id=saying.segment_id), free)

    def _absent(self, bare: HeardClaim, free: Sequence[int], why: str = LEFT_OUT) -> HeardClaim:
        """Nothing like it was found, and `why`: said so only by a transcript that tells."""
        quality = self.talk.alignment.quality
        if quality.tells:
            return replace(bare, hearing="not heard", why=why)
        if not free and quality.verdict == "fair" and self.talk.transcript.timed:
            return replace(bare, hearing="not heard", why="There is no word where it belongs.")
        why = quality.why or "This transcript does not tell."
        clip = self.talk.clip(free[0], free[-1] + 1) if free else None
        start_s, end_s = clip or (None, None)
        return replace(bare, hearing="listen", why=why, start_s=start_s, end_s=end_s)

    def _elsewhere(self, bare: HeardClaim, due: DueClaim) -> HeardClaim | None:
        """Said of the drink in words of its own, or in a sentence that the script has not."""
        taxonomy = taxonomy_for(supported(self.routine.language).code, self.routine.own_words)
        wanted = self.talk.stems(due.label)
        told = [
            self._told(bare, find, wanted, due)
            for find in self.finds
            if find.kind == "descriptor" and find.polarity == "has" and find.word
            if find.drink_id in (due.drink_id, None) and covers(find.word, due.label, taxonomy)
        ]
        return _best([*told, *self._literals(bare, due, wanted)])

    def _told(
        self, bare: HeardClaim, find: Find, wanted: Sequence[str], due: DueClaim
    ) -> HeardClaim:
        """What was heard where the grammar shows a claim: elsewhere than planned it is no proof."""
        passage = next(each for each in self.passages if each.passage.segment_id == find.segment_id)
        first, stop = passage.words_of(find.start, find.end)
        place = self.talk.literal(wanted, first, stop)
        is_due = find.segment_id in due.segment_ids
        if place is not None and is_due and not find.is_slip:
            return self._heard(bare, place, find.segment_id)
        why = f"Heard “{self.talk.text(first, stop)}” for it."
        return self._listen(bare, first, stop, None, why, find.segment_id)

    def _literals(
        self, bare: HeardClaim, due: DueClaim, wanted: Sequence[str]
    ) -> Iterable[HeardClaim]:
        """Its very words in a segment where it is due, but not as a name of an ingredient."""
        for passage in self.passages:
            if passage.passage.segment_id not in due.segment_ids:
                continue
            place = self.talk.literal(wanted, passage.places[0], passage.places[-1] + 1)
            if place is None:
                continue
            named = any(
                find.kind == "ingredient"
                and find.segment_id == passage.passage.segment_id
                and _meets(passage.words_of(find.start, find.end), place)
                for find in self.finds
            )
            if not named and not due.is_scripted:
                yield self._heard(bare, place, passage.passage.segment_id)
            elif not named:
                why = f"Heard “{self.talk.text(place.first, place.stop)}” in another sentence."
                yield self._listen(
                    bare, place.first, place.stop, None, why, passage.passage.segment_id
                )

    def _heard(self, bare: HeardClaim, place: PhrasePlace, segment_id: str) -> HeardClaim:
        start_s, end_s = self.talk.clip(place.first, place.stop) or (None, None)
        said = self.talk.text(place.first, place.stop)
        return replace(
            bare, hearing="heard", why="Every word of it was heard.", phrase=said,
            start_s=start_s, end_s=end_s, segment_id=segment_id,
        )  # fmt: skip

    def _listen(
        self,
        bare: HeardClaim,
        first: int,
        stop: int,
        match: SentenceMatch | None,
        why: str,
        segment_id: str,
    ) -> HeardClaim:
        clip = self.talk.clip(first, stop)
        if clip is None and match is not None and match.first is not None:
            clip = self.talk.clip(match.first, match.stop or match.first)
        start_s, end_s = clip or (None, None)
        return replace(
            bare, hearing="listen", why=why, phrase=self.talk.text(first, stop),
            start_s=start_s, end_s=end_s, segment_id=segment_id,
        )  # fmt: skip


def _meets(span: tuple[int, int], place: PhrasePlace) -> bool:
    return span[0] < place.stop and place.first < span[1]


_RANK: dict[Hearing, int] = {"heard": 0, "listen": 1, "not heard": 2}


def _best(found: Iterable[HeardClaim | None]) -> HeardClaim | None:
    """What is surest of several places; None without any."""
    told = [each for each in found if each is not None]
    return min(told, key=lambda each: _RANK[each.hearing]) if told else None
