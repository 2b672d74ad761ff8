"""What the script's editor sends: texts and drinks of segments, held against what is stored."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from server.domain.base.errors import Fault, refuse_if
from server.domain.base.text import long_text_faults
from server.domain.claims.claim_edits import put_said
from server.domain.routine.edits import part_of, put_segment
from server.domain.routine.routine import Routine
from server.web.frame.forms import Typed
from server.web.frame.guard import mark_of, who_changed


@dataclass(frozen=True)
class Changed:
    """What is to be saved: segment id -> text, and segment id -> drink id or "" for none."""

    said: Mapping[str, str]
    drinks: Mapping[str, str]

    @property
    def segment_ids(self) -> frozenset[str]:
        """The segments that something is saved of."""
        return frozenset((*self.said, *self.drinks))

    def edit(self, routine: Routine) -> Routine:
        """The routine with it. Raises InvalidInput with a fault at each field."""
        routine = put_said(routine, self.said)
        for segment_id, drink_id in self.drinks.items():
            segment = part_of(routine.segments, segment_id)
            routine = put_segment(routine, replace(segment, drink_id=drink_id or None))
        return routine

    def label(self, routine: Routine) -> str:
        """What the edit is called in the history."""
        names = [f"“{each.name}”" for each in routine.segments if each.id in self.segment_ids]
        did = "wrote in" if self.said else "chose the drink of"
        return f"{did} {names[0]}" if len(names) == 1 else f"{did} {len(names)} segments"


def texts_of(routine: Routine) -> dict[str, str]:
    """Segment id -> what is said in it."""
    return {segment.id: segment.said for segment in routine.segments}


def texts_from(typed: Typed, routine: Routine) -> dict[str, str]:
    """Segment id -> the text that stands in the editor, for each segment of the routine."""
    return {
        segment.id: typed.values.get(f"said-{segment.id}", segment.said)
        for segment in routine.segments
    }


def drawn_in(typed: Typed) -> frozenset[str]:
    """Marks of what the editor shows beside its texts."""
    return frozenset(value for key, value in typed.values.items() if key.startswith("drawn-"))


def changed_in(typed: Typed, routine: Routine) -> Changed:
    """What is to be saved: what differs from what is stored, and from what was shown.

    Raises InvalidInput for what was meanwhile changed elsewhere too, so that neither is lost, and
    for a text whose segment is gone.
    """
    said, drinks, faults = dict[str, str](), dict[str, str](), list[Fault]()
    names = {drink.id: f"“{drink.name}”" for drink in routine.drinks}
    for segment in routine.segments:
        text, seen = typed.values.get(f"said-{segment.id}"), typed.text(f"seen-{segment.id}")
        if text is not None and text != segment.said:
            who = who_changed(text, seen or mark_of(segment.said), segment.said)
            if who == "both":
                faults.append(Fault(f"said-{segment.id}", _elsewhere(_short(segment.said))))
            if who != "they":
                said[segment.id] = text
        drink, stored = typed.values.get(f"drink-{segment.id}"), segment.drink_id or ""
        if drink is not None and drink != stored:
            seen = typed.text(f"seen-drink-{segment.id}")
            who = who_changed(drink, seen or mark_of(stored), stored)
            if who == "both":
                now = _elsewhere(names.get(stored, "no drink"))
                faults.append(Fault(f"drink-{segment.id}", now))
            if drink and drink not in names:
                faults.append(Fault(f"drink-{segment.id}", "This drink is gone. Choose another."))
            if who != "they":
                drinks[segment.id] = drink
    refuse_if([*faults, *_orphans(typed, routine), *length_faults(said)])
    return Changed(said, drinks)


def length_faults(texts: Mapping[str, str]) -> list[Fault]:
    """What is wrong with texts that are too long."""
    return [fault for key, text in texts.items() for fault in long_text_faults(text, f"said-{key}")]


def segments_of(faults: Iterable[Fault]) -> frozenset[str]:
    """The segments that these faults are about."""
    prefixes = ("said-", "drink-")
    return frozenset(
        fault.field.removeprefix(prefix)
        for fault in faults
        for prefix in prefixes
        if fault.field.startswith(prefix)
    )


def _short(stored: str) -> str:
    return f"“{stored[:160]}{'…' if len(stored) > 160 else ''}”" if stored else "no text"


def _elsewhere(now: str) -> str:
    return f"Changed elsewhere since this page was opened; saved there: {now}. Save to keep yours."


def _orphans(typed: Typed, routine: Routine) -> list[Fault]:
    """Texts of segments that are gone, where something was written in them."""
    here = {f"said-{segment.id}" for segment in routine.segments}
    return [
        Fault("gone", f"A segment was deleted elsewhere. Its text was: “{text}”")
        for name, text in typed.values.items()
        if name.startswith("said-") and name not in here
        and mark_of(text) != typed.text(f"seen-{name.removeprefix('said-')}")
    ]  # fmt: skip
