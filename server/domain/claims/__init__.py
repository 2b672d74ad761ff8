"""The claims check: is every word said of a drink true of the glass, and every planned word said?

finder      the claims in a script, found without tagging
ledger      one row a claim, with its state and why; marks in the text
corrections what the user said about a find, and where it holds after edits
taxonomy    words of flavour, aroma and texture, and how two relate
pace        how long a sentence takes to say, learnt from runs
heard       how often a descriptor was said in runs, with its interval
cases       what a routine's script is checked against, from its plan
placed      takes a text apart and makes finds at its places
spoken      numbers and answers as people say them
brews       what is said of a brew, its numbers without a unit too
handling    what is said of a recipe's steps: how long it stands, what the ice adds
free        what a drink is said to lack
words       forms and flavours of several words, scales, forms that only what is learnt can tell
tasting     words of taste held to the computed glass
beside      what is said beside the drink: the hands' text, other drinks and places, idioms
doubt       what seems wrong and is said of another time, hand, thing or part
learnt      words of taste looked at again with weights learnt from talks, and what stays doubtful
            (`python -m tests.learn_words`, anew when rules or words change)

Words of praise and of freshness ("elegant", "balanced", "fresh") claim nothing that a glass can
be held to, and are not found. An ingredient that is named as one ("I add the orange syrup") is
no descriptor; it counts as mentioned. Parts are compared only where the recipe is in parts.

>>> from server.domain.base.amounts import Amount
>>> from server.domain.claims.finds import Passage
>>> from server.domain.claims.ledger import ledger
>>> from server.domain.claims.rows import ScriptCase
>>> from server.domain.routine.drink import Drink, Ingredient
>>> plum = Ingredient("i", "Plum cordial", Amount(45, "ml"), ("plum",))
>>> drink = Drink("d", "Dusk", ingredients=(plum,), descriptors=("plum", "almond"))
>>> said = Passage("s", "Forty millilitres of plum cordial. You will find plum and smoke.", "d")
>>> for row in ledger(ScriptCase((said,), (drink,))).rows:
...     why = row.why[0].replace("of Plum cordial: ", "…: ")
...     print(row.label, "|", row.state, "|", why)
40 ml of Plum cordial | contradicted | You say 40 ml, the recipe has 45 ml …: more than 5 % off.
plum | backed | Given by Plum cordial (100 % of the drink).
smoke | unbacked | Nothing in the glass gives smoke.
almond | unbacked | On the card, but the script never says it.
"""
