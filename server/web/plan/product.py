"""What a process makes: the ingredient of a drink, and how it waits until it is used."""

from server.domain.routine.routine import Process, Routine
from server.web.drinks.view import told_glass, waited_words


def product_names(routine: Routine) -> dict[str, str]:
    """Ingredient id -> its name and its drink's, for choosing what a process makes."""
    short = routine.short_names
    return {
        part.id: f"{part.name} ({short[drink.id]})"
        for drink in routine.drinks
        for part in drink.ingredients
    }


def product_waits(routine: Routine, process: Process) -> str:
    """What the drink's page says of it; "" also where the drink cannot be worked out."""
    for drink in routine.drinks:
        if any(part.id == process.product_id for part in drink.ingredients):
            glass, _ = told_glass(drink, routine)
            waited = glass.waited if glass else ()
            return next((waited_words(w) for w in waited if w.process_id == process.id), "")
    return ""
