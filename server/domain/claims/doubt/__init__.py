"""Whether what seems wrong is said of this drink as it is served: where its words tell of another
time, another hand, another thing, nothing is called wrong. What agrees still holds.

Asked last, when a row is contradicted: `number_rows` asks `spared`, `word_rows` `denial_judged`,
`free_rows` `absence_judged`. Whether words are a claim at all was asked before, of the room beside
and of `negation`; who and which versions are spoken of there (`kin`, `elsewhere`) is so here too,
and clauses are parted as `around` parts them.

told_of            what the words around a number tell of: another time or hand, a supposition
numbers_in_doubt   numbers that are of something else than what they were held against
words_in_doubt     flavours that are denied of a thing, not of the taste
absences_in_doubt  sugar that is not added, milk that is not in one part
"""
