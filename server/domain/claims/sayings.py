"""Where and when a claim is said, and whether the judges have the drink before them then."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from server.domain.base.durations import format_duration
from server.domain.claims.facts import Tasting
from server.domain.claims.finds import Find, Moment, Passage


@dataclass(frozen=True)
class Saying:
    """One place where a claim is said; offsets are into the segment's own text.

    `at_s` is the planned time in the slot; None where the segment is not in the plan. `timing`
    is a sentence where that is before the judges can taste or after they have drunk.
    """

    segment_id: str
    start: int
    end: int
    phrase: str
    sentence: str
    sentence_index: int
    sentence_start: int
    sentence_end: int
    at_s: float | None = None
    moment: Moment = ""
    timing: str = ""
    is_slip: bool = False
    is_corrected: bool = False


@dataclass(frozen=True)
class TimesOfSayings:
    """Texts with the planned time of each, and when each drink can be tasted."""

    passages: Mapping[str, Passage]
    segments: Mapping[str, tuple[float, float]]
    tastings: Mapping[str, Tasting]

    @classmethod
    def of(
        cls,
        passages: Iterable[Passage],
        segments: Mapping[str, tuple[float, float]],
        tastings: Sequence[Tasting],
    ) -> "TimesOfSayings":
        """The timetable of these passages."""
        by_id = {passage.segment_id: passage for passage in passages}
        return cls(by_id, segments, {tasting.drink_id: tasting for tasting in tastings})

    def sentence(self, find: Find) -> str:
        """The sentence that a find stands in."""
        return self.passages[find.segment_id].text[find.sentence_start : find.sentence_end]

    def time_of(self, find: Find) -> float | None:
        """When the find is said, as far into its segment as it is into the text."""
        if find.segment_id not in self.segments:
            return None
        start_s, end_s = self.segments[find.segment_id]
        length = len(self.passages[find.segment_id].text)
        return start_s + (end_s - start_s) * find.start / length if length else start_s


def saying(find: Find, timetable: TimesOfSayings) -> Saying:
    """The place of a find, with its time."""
    at_s = timetable.time_of(find)
    return Saying(
        segment_id=find.segment_id,
        start=find.start,
        end=find.end,
        phrase=find.phrase,
        sentence=timetable.sentence(find),
        sentence_index=find.sentence_index,
        sentence_start=find.sentence_start,
        sentence_end=find.sentence_end,
        at_s=at_s,
        moment=find.moment,
        timing=_timing(at_s, timetable.tastings.get(find.drink_id or "")),
        is_slip=find.is_slip,
        is_corrected=find.is_corrected,
    )


def _timing(at_s: float | None, tasting: Tasting | None) -> str:
    if at_s is None or tasting is None:
        return ""
    at = format_duration(round(at_s))
    if at_s < tasting.from_s:
        return f"Said at {at}, before the judges can taste at {format_duration(tasting.from_s)}."
    if tasting.until_s is not None and at_s > tasting.until_s:
        return f"Said at {at}, after the judges have drunk at {format_duration(tasting.until_s)}."
    return ""
