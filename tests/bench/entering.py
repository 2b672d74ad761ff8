"""A whole routine entered from nothing, with its talk and its recipes at hand as text.

Fourteen segments with names, planned times, words, what the hands do and their drink; two drinks
with fourteen parts, what each gives, and what stands on the card: those of the demo, so that the
words are a talk. What is pasted is one key.
"""

from server.demo import demo_file
from server.domain.routine.drink import Drink
from server.domain.routine.routine import Segment
from tests.bench.walking import Walk

MOST_CLICKS = 120
SEGMENTS = 14


def enter_a_routine(walk: Walk) -> None:
    """A name, the drinks with their recipes, the talk cut into segments, the drink of each."""
    routine = demo_file().routine
    segments = routine.segments[:SEGMENTS]
    walk.type("Evening set")
    walk.key("Enter")
    walk.press("Drinks", exact=True)
    for drink in routine.drinks:
        _enter_drink(walk, drink)
    walk.press("Script", exact=True)
    walk.press("Paste the whole talk")
    walk.paste("\n\n".join(map(_as_text, segments)))
    walk.press("Cut it into segments")
    _choose_drinks(walk, segments, {drink.id: drink.name for drink in routine.drinks})
    walk.press(f"Add {SEGMENTS} segments")
    walk.see(walk.page.locator(".rail li").nth(SEGMENTS - 1))
    walk.press("Plan", exact=True)
    shown = walk.page.locator(".plan-row b.lasts").all_inner_texts()
    assert len(shown) == SEGMENTS, shown


def _enter_drink(walk: Walk, drink: Drink) -> None:
    walk.press("Add a drink")
    walk.type(drink.name)
    walk.key("Tab")
    walk.key("Tab")
    walk.type(", ".join(drink.descriptors))
    walk.key("Enter")
    walk.click(walk.page.get_by_role("link", name="Or paste a recipe"))
    parts = [
        f"{part.amount.words} {part.name}, gives {', '.join(part.descriptors)}"
        for part in drink.ingredients
    ]
    walk.paste("\n".join(parts))
    walk.press("Read it")
    walk.press("Add these parts")
    walk.see(walk.page.locator(".part-row", has_text=drink.ingredients[-1].name[:12]))


def _as_text(segment: Segment) -> str:
    """A segment as it stands in a text: its name with its time, the hands, the words."""
    likely_s = int(segment.duration.likely_s)
    name = f"{segment.name} {likely_s // 60}:{likely_s % 60:02d}"
    return "\n".join(filter(None, (name, f"({segment.hands})", segment.said)))


def _choose_drinks(walk: Walk, segments: tuple[Segment, ...], names: dict[str, str]) -> None:
    """A list opens at a click and is chosen from at another; it starts as the one before."""
    before = None
    for number, segment in enumerate(segments):
        if segment.drink_id == before:
            continue
        choice = walk.page.locator(f"#drink-{number}")
        walk.click(choice)
        walk.choose(choice, names.get(segment.drink_id or "", "no drink"))
        before = segment.drink_id
