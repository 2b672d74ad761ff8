"""What a drink is said not to hold: alcohol, dairy, nuts, sugar; "nothing but gin and tea".

absences   where such a claim stands in a text (words by language in `words.toml`)
judged     whether a drink holds it, as far as its recipe can tell
free_rows  a row of the ledger for each
"""
