"""A recipe pasted as lines: shown for correction, then added in one edit."""

from dataclasses import replace

from fastapi import APIRouter, Response

from server.domain.base.amounts import Amount, parse_amount
from server.domain.base.errors import Fault, InvalidInput
from server.domain.base.number_words import count
from server.domain.base.numbers import write_number
from server.domain.glass.figures import Figure
from server.domain.glass.library import LibraryEntry, entry_named
from server.domain.glass.recipe_lines import MOST_CHARACTERS, MOST_LINES, ReadLine, read_recipe
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.edits import part_of, put_ingredient, remove_ingredient
from server.domain.routine.routine import Routine
from server.store.ids import new_id
from server.web.drinks.drinks_page import showing, staying
from server.web.drinks.serve_amounts import Serving
from server.web.frame.editing import Edit
from server.web.frame.forms import Form, Typed

router = APIRouter(prefix="/routines/{routine_id}/drinks/{drink_id}")


@router.post("/lines")
def post_lines(edit: Edit, drink_id: str) -> Response:
    """Add the lines that are ticked, as they were corrected."""
    name = part_of(edit.routine.drinks, drink_id).name
    number = sum(edit.typed.ticked(f"take-{n}") for n in range(MOST_LINES))

    def change(routine: Routine) -> Routine:
        drink = part_of(routine.drinks, drink_id)
        parts = parts_from(edit.typed, drink.serves)
        if edit.typed.ticked("instead"):
            for before in drink.ingredients:
                routine = remove_ingredient(routine, drink_id, before.id)
        for part in parts:
            routine = put_ingredient(routine, drink_id, part)
        return routine

    label = f"added {count(number, 'part')} to “{name}”"
    return staying(
        edit, edit.save(change, label, "drinks", showing(edit, opened=f"lines-{drink_id}"))
    )


def lines_form(text: str, drink: Drink, serving: Serving) -> Form:
    """The form of a pasted text: empty, or its lines as they were read, for correction."""
    if not text.strip():
        return Form()
    if len(text) > MOST_CHARACTERS:
        told = f"At most {MOST_CHARACTERS:,} characters fit here."
        return Form({"text": text}, (Fault("text", told),))
    found = read_recipe(text)
    if not found.lines:
        told = "No ingredient was found in it. Write an amount and a name on each line."
        return Form({"text": text}, (Fault("text", told),))
    usual = 1 if serving == "one" else drink.serves
    values = {
        "text": text,
        "lines": str(len(found.lines)),
        "for": str(found.serves or usual),
        "unsaid": "" if found.serves else "yes",
        "left": "\n".join(found.left),
    }
    for number, line in enumerate(found.lines):
        read = _line_values(line, found.serves or usual)
        values |= {f"{name}-{number}": text for name, text in read.items()}
    return Form(values)


def parts_from(typed: Typed, serves: int) -> list[Ingredient]:
    """The ticked lines as ingredients of a drink of so many serves. Raises InvalidInput."""
    of_serves = typed.whole_number("for", 1, 1000)
    numbers = [n for n in range(MOST_LINES) if typed.ticked(f"take-{n}")]
    if not numbers:
        typed.fault("lines", "Tick the lines that are to be added.")
    parts = [_part(typed, n, serves / of_serves) for n in numbers]
    typed.check()
    return [part for part in parts if part is not None]


def _line_values(line: ReadLine, serves: int) -> dict[str, str]:
    match = line.match
    others = [each.entry.name for each in line.matches if each is not match]
    amount, notes = line.amount, list(line.notes)
    if amount and line.is_for_one and serves > 1:
        notes.append(f"{amount.words} for each of {serves}.")
        amount = Amount(amount.value * serves, amount.unit)
    return {
        "said": line.text,
        "take": "yes",
        "amount": amount.words if amount else "",
        "name": line.name,
        "abv": "" if line.abv_percent is None else write_number(line.abv_percent),
        "gives": ", ".join(line.gives or _descriptors(match.entry if match else None)),
        "library": match.entry.name if match else "",
        "matched": match.entry.name if match else "",
        "others": " · ".join(others[:3]),
        "note": " ".join(notes),
    }


def _part(typed: Typed, n: int, factor: float) -> Ingredient | None:
    amount = typed.take(
        lambda: _scaled(parse_amount(typed.text(f"amount-{n}"), f"amount-{n}"), factor, n),
        Amount(0, "ml"),
    )
    entry = _entry(typed, n)
    abv = typed.optional_figure(f"abv-{n}")
    name = typed.text(f"name-{n}")
    made_of = typed.take(lambda: _substance(entry, abv, n), None)
    try:
        return Ingredient(
            id=new_id(),
            name=name,
            amount=amount,
            descriptors=_gives(typed, entry, n),
            substance=made_of,
        )
    except InvalidInput as error:
        for fault in error.faults:
            name = "gives" if fault.field == "descriptors" else fault.field
            typed.fault(f"{name}-{n}", fault.message)
        return None


def _gives(typed: Typed, entry: LibraryEntry | None, n: int) -> tuple[str, ...]:
    """The flavours typed; where they are still those of the entry first found, of the chosen."""
    matched = typed.text(f"matched-{n}")
    words = typed.words(f"gives-{n}")
    is_as_found = words == _descriptors(entry_named(matched) if matched else None)
    return _descriptors(entry) if is_as_found else words


def _descriptors(entry: LibraryEntry | None) -> tuple[str, ...]:
    return entry.descriptors if entry else ()


def _scaled(amount: Amount, factor: float, n: int) -> Amount:
    try:
        return Amount(amount.value * factor, amount.unit)
    except InvalidInput as error:
        raise InvalidInput.of(f"amount-{n}", error.message) from error


def _entry(typed: Typed, n: int) -> LibraryEntry | None:
    text = typed.text(f"library-{n}")
    entry = entry_named(text) if text else None
    if text and entry is None:
        typed.fault(f"library-{n}", "The library does not hold this. Choose another, or none.")
    return entry


def _substance(entry: LibraryEntry | None, abv: Figure | None, n: int) -> Substance | None:
    """What it is made of: as in the library, with the strength that was written."""
    if entry is None and abv is None:
        return None
    known = entry.substance if entry else Substance()
    try:
        return known if abv is None else replace(known, abv=abv)
    except InvalidInput as error:
        raise InvalidInput.of(f"abv-{n}", error.message) from error
