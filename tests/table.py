"""A table of cases that is one test: hundreds of them would cost more to list than to try.

For cases that need nothing of their own made for them. Those that do, or that are few, are
`pytest.mark.parametrize`d.
"""

import inspect
from collections.abc import Callable, Iterable
from functools import wraps


def table(names: str, cases: Iterable[object], ids: Callable[[object], str] = repr):
    """As `parametrize`, but tries all cases in one test and then names every one that failed."""
    fields = tuple(name.strip() for name in names.split(","))
    rows = [case if len(fields) > 1 else (case,) for case in cases]

    def as_one(test):
        @wraps(test)
        def in_turn(**given):
            failed = {}
            for row in rows:
                try:
                    test(**given, **dict(zip(fields, row, strict=True)))
                except Exception as fault:
                    failed[", ".join(map(ids, row))] = fault
            assert rows, "a table without cases"
            if failed:
                raise AssertionError(_said(failed, len(rows))) from next(iter(failed.values()))

        signature = inspect.signature(test)
        kept = [each for name, each in signature.parameters.items() if name not in fields]
        in_turn.__signature__ = signature.replace(parameters=kept)
        return in_turn

    return as_one


def _said(failed, count):
    lines = [f"{case}: {type(fault).__name__} {fault}" for case, fault in failed.items()]
    return f"{len(failed)} of {count} cases failed\n\n" + "\n\n".join(lines)
