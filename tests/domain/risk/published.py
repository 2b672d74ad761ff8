"""Project networks worked out in print: activity -> (comes after, low, likely, high)."""

from server.domain.routine.estimate import TimeEstimate

# Heizer and Render, "Operations Management", chapter on project management: eight activities A to
# H. Durations, floats and critical path as published there; the three times of each activity are
# from memory, and give the published durations.
EIGHT = {
    "A": ("", 1, 2, 3),
    "B": ("", 2, 3, 4),
    "C": ("A", 1, 2, 3),
    "D": ("B", 2, 4, 6),
    "E": ("C", 1, 4, 7),
    "F": ("C", 1, 2, 9),
    "G": ("DE", 3, 4, 11),
    "H": ("FG", 1, 2, 3),
}

# Fourteen activities with a full worked solution, wizedu.com question 717873 (read in part: the
# inputs, all means and deviations, and the times of A to F); the rest recomputed with networkx.
FOURTEEN = {
    "A": ("", 5, 5, 7),
    "B": ("", 1, 2, 5),
    "C": ("A", 5, 5, 5),
    "D": ("A", 4, 8, 13),
    "E": ("BC", 1, 10, 17),
    "F": ("D", 1, 5, 7),
    "G": ("D", 2, 6, 9),
    "H": ("EF", 4, 4, 6),
    "I": ("GH", 2, 7, 10),
    "J": ("I", 2, 4, 7),
    "K": ("I", 6, 10, 13),
    "L": ("J", 2, 6, 6),
    "M": ("K", 2, 2, 3),
    "N": ("LM", 7, 7, 12),
}

# Eight activities from university course notes (inputs as given there, results recomputed with
# networkx and the normal distribution).
COURSE = {
    "a": ("", 15, 18, 20),
    "b": ("", 20, 20, 22),
    "c": ("", 12, 14, 16),
    "d": ("a", 7, 7, 7),
    "e": ("b", 8, 11, 12),
    "f": ("c", 17, 21, 24),
    "g": ("bd", 10, 12, 15),
    "h": ("ef", 9, 10, 11),
}


def links(network):
    return {each: tuple(row[0]) for each, row in network.items()}


def estimates(network):
    return {each: TimeEstimate(*row[1:]) for each, row in network.items()}


def mean_s(estimate):
    """The three-point mean of a duration, (low + 4 likely + high) / 6, by which these were worked.

    Malcolm, Roseboom, Clark and Fazar, Operations Research 7, 1959.
    """
    return (estimate.low_s + 4 * estimate.likely_s + estimate.high_s) / 6
