"""Venue and tags of a run in a form: boxes for the tags in use, a line for others."""

from collections.abc import Collection, Iterable

from server.domain.runs.labels import USUAL_TAGS, Occasion, occasion_faults
from server.web.frame.forms import Typed

Values = dict[str, str]


def occasion_from(typed: Typed) -> Occasion:
    """The occasion that a form describes; its faults are noted."""
    ticked = (text.strip() for name, text in typed.values.items() if name.startswith("tag-"))
    tags = dict.fromkeys(tag for tag in (*ticked, *typed.words("more_tags")) if tag)
    occasion = Occasion(typed.text("venue"), tuple(tags))
    for fault in occasion_faults(occasion):
        # All tags are told of beside the line that any of them can be typed into.
        typed.fault("more_tags" if fault.field == "tags" else fault.field, fault.message)
    return occasion


def occasion_values(occasion: Occasion, offered: Iterable[str]) -> Values:
    """The fields of the form that describes an occasion."""
    ticked = {f"tag-{n}": tag for n, tag in enumerate(offered) if tag in occasion.tags}
    return {"venue": occasion.venue, **ticked}


def offered_tags(occasions: Collection[Occasion]) -> tuple[str, ...]:
    """The usual tags and those that runs carry already."""
    used = sorted({tag for each in occasions for tag in each.tags}, key=str.casefold)
    return tuple(dict.fromkeys((*USUAL_TAGS, *used)))


def known_venues(occasions: Collection[Occasion]) -> tuple[str, ...]:
    """The venues that runs carry already, latest first."""
    named = (each.venue for each in reversed([*occasions]))
    return tuple(dict.fromkeys(venue for venue in named if venue))
