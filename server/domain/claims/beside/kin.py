"""Who is spoken of beside a drink: people whom one has at home and at work."""

KIN = frozenset(
    {
        "neighbour", "neighbor", "brother", "sister", "mum", "mom", "mother", "dad", "father",
        "aunt", "aunty", "uncle", "nan", "gran", "granny", "grandmother", "grandfather", "grandma",
        "grandpa", "boss", "friend", "friends", "wife", "husband", "colleague", "colleagues",
        "cousin", "teacher", "mentor", "son", "daughter", "barback", "flatmate", "landlord",
    }
)  # fmt: skip
