"""What every page loads, handed over together: a browser need not find it out file by file.

The sheets of all pages are one answer, made of their files. Of modules, which stay as they are,
a page names those that its first ones will ask for, so that all are fetched at once. A sheet of all
pages is a row here; one of a few pages is linked by these.
"""

import posixpath
import re
from functools import cache

from server.settings import ROOT

SCRIPTS = ROOT / "static" / "js"
STATIC_IMPORT = re.compile(
    r"""^(?:import|export)\b[^;"']*?\bfrom\s+"(\.[^"]+)"|^import\s+"(\.[^"]+)\"""", re.MULTILINE
)

SHEETS: dict[str, tuple[str, ...]] = {
    "css/pages.css": (
        "css/frame/tokens.css",
        "css/frame/dark.css",
        "css/frame/base.css",
        "css/frame/layout.css",
        "css/frame/places.css",
        "css/frame/forms.css",
        "css/frame/parts.css",
        "css/frame/tape.css",
        "css/frame/tables.css",
        "css/today/today.css",
        "css/plan/plan.css",
        "css/plan/stage_sheet.css",
        "css/drinks/drinks.css",
        "css/script/claims.css",
        "css/learn/learn.css",
        "css/prepare/prepare.css",
        "css/runs/runs.css",
        "css/drift/drift.css",
        "css/heard/heard.css",
        "css/tasters/tasters.css",
        "css/frame/device.css",
    ),
    "css/on_stage.css": (
        "css/frame/tokens.css",
        "css/run/ground.css",
        "css/stage/stage.css",
        "css/stage/stage_rows.css",
        "css/stage/stage_clock.css",
        "css/stage/stage_tape.css",
        "css/stage/stage_calls.css",
        "css/stage/stage_now.css",
        "css/stage/stage_beside.css",
        "css/stage/stage_next.css",
        "css/stage/stage_before.css",
        "css/stage/stage_recording.css",
        "css/stage/stage_device.css",
        "css/stage/stage_closed.css",
    ),
    "css/watched.css": (
        "css/frame/tokens.css",
        "css/run/ground.css",
        "css/watching/watch.css",
        "css/watching/watch_frame.css",
        "css/watching/watch_parts.css",
        "css/stage/stage_tape.css",
    ),
}
"""A sheet as pages ask for it -> the files of `static` it is made of, in the order of the rules."""


@cache
def modules_behind(*names: str) -> tuple[str, ...]:
    """The addresses of all modules that some of `static/js` import at once, and these of theirs."""
    found: dict[str, None] = dict.fromkeys(names)
    for name in names:
        _add_imports(name, found)
    return tuple(f"/static/js/{name}" for name in found if name not in names)


def _add_imports(name: str, found: dict[str, None]) -> None:
    text = (SCRIPTS / name).read_text(encoding="utf-8")
    for from_there, bare in STATIC_IMPORT.findall(text):
        below = posixpath.normpath(posixpath.join(posixpath.dirname(name), from_there or bare))
        if below not in found:
            found[below] = None
            _add_imports(below, found)
