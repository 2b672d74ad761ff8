"""Every address and what it asks of whoever asks for it: the one table of rights.

Each address stands in it once for each of its methods, with both columns: what it asks of a device
(`domain/base/rights.py`), and what of a person, where people have accounts
(`domain/base/standings.py`). An address that stands in no row asks for the owner's device, and is
its owner's alone, or the admin's where it is of no routine. `tests/web/devices/test_rights.py` and
`tests/web/sharing/test_asks.py` fail on a route without a row, and try all of them as everybody.
"""

from server.domain.base.rights import Need
from server.domain.base.standings import Ask
from server.web.frame.addresses import (
    API_RUN,
    DRINK,
    RECORDING,
    ROUTINE,
    RUN,
    SHARES,
    SHEET,
    SITTING,
    TAKE,
    TASTE,
    TASTINGS,
    TEAM,
)

_Rows = tuple[tuple[str, Need, Ask, str, *tuple[str, ...]], ...]
"""Methods, what they ask of a device, what of a person, an address, and what stands behind it:
"" is the address itself."""

_DOOR: _Rows = (
    ("GET", "anyone", "all", "", "/healthz", "/readyz", "/metrics", "/sw.js", "/offline"),
    ("GET", "anyone", "all", "/trust", "", "/ninefifty-authority.crt", "/ninefifty-authority.pem"),
    ("GET POST", "anyone", "all", "", "/in", "/join", "/taste"),
    ("POST", "anyone", "all", "/in", "/link"),
    # What leads to being signed in, or out.
    ("GET POST", "anyone", "all", "", "/sign-in", "/invited", "/recover", "/reset"),
    ("GET", "anyone", "all", "/sign-in/oidc", "", "/back"),
    ("POST", "anyone", "all", "", "/sign-out", "/invited/account", "/reset/password"),
    ("POST", "anyone", "all", "/api/sign-in", "/begin", "/passkey"),
    # Devices that are let in. Where people have accounts they open nothing: the page leads on to
    # one's own account.
    ("GET", "own", "person", "/devices", ""),
    ("GET", "own", "admin", "/devices", "/code.svg"),
    ("POST", "own", "admin", "/devices", "/code", "/code/close"),
    ("POST", "own", "admin", "/devices/{key}", "", "/take", "/back"),
)

_HOUSE: _Rows = (
    # What there is: each list shows what is theirs.
    ("GET", "help", "person", "", "/", "/routines", "/calculators", "/schema/routine-1.json"),
    ("GET", "own", "person", "", "/recordings", "/deleted"),
    ("POST", "own", "person", "", "/routines", "/import"),
    # Rule sheets.
    ("GET", "help", "person", "/rules", ""),
    ("GET", "help", "sheet", SHEET, ""),
    ("POST", "own", "sheet", SHEET, "/calls", "/copy"),
    ("POST", "own", "sheet-edit", SHEET, "", "/delete", "/restore"),
    # One's own account: of whoever is signed in, and of nobody where people have none.
    ("GET POST", "own", "person", "", "/first-account", "/account"),
    ("POST", "own", "person", "/account", "/password", "/codes"),
    ("POST", "own", "person", "/account/devices", "/{key}/end", "/others/end"),
    ("POST", "own", "person", "/account/passkeys/{passkey_id}", "/remove"),
    ("POST", "own", "person", "/api/passkeys", "", "/begin"),
    ("POST", "own", "person", "/api/organisation", "/tie"),
    # Who has an account, and what the house keeps: the admin's.
    ("GET", "own", "admin", "", "/people", "/house"),
    ("POST", "own", "admin", "/people", "/invite", "/invitations/{invitation_id}/withdraw"),
    ("POST", "own", "admin", "/people/{person_id}", "/end", "/back", "/admin", "/reset"),
    # Teams.
    ("GET POST", "own", "person", "/teams", ""),
    ("GET", "own", "team", TEAM, ""),
    ("POST", "own", "team", TEAM, "/leave", "/sheets"),
    ("POST", "own", "lead", TEAM, "", "/dissolve"),
    ("POST", "own", "lead", TEAM + "/members", "", "/{person_id}", "/{person_id}/take"),
)

_ROUTINES: _Rows = (
    # A person whose standing shows less than Today is led on to what it shows.
    ("GET", "help", "show", ROUTINE, "", "/declaration"),
    ("POST", "own", "edit", ROUTINE, "/today", "/pattern", "/counting"),
    ("POST", "own", "edit", ROUTINE, "/remarks/settle", "/remarks/unsettle"),
    # As a whole.
    ("GET", "help", "study", ROUTINE, "/details"),
    ("GET", "own", "edit", ROUTINE, "/export.json"),
    ("POST", "own", "edit", ROUTINE, "/details", "/undo", "/redo", "/copy", "/move", "/readable"),
    ("POST", "own", "own", ROUTINE, "/delete", "/restore"),
    # Who may do what with it: only where people have accounts.
    ("GET", "own", "show", SHARES, ""),
    ("POST", "own", "show", SHARES, "/leave"),
    ("POST", "own", "own", SHARES, "", "/invite", "/hand-on", "/team", "/team/end"),
    ("POST", "own", "own", SHARES + "/{person_id}", "", "/take"),
    # Drinks.
    ("GET", "help", "read", ROUTINE, "/drinks", "/drinks/compare", "/library/{key}"),
    ("GET", "help", "read", DRINK, "/batch"),
    ("POST", "own", "edit", DRINK, "", "/copy", "/move", "/delete", "/lines"),
    ("POST", "own", "edit", DRINK + "/ingredients/{ingredient_id}", "", "/move", "/delete"),
    ("POST", "own", "edit", DRINK + "/ingredients/{ingredient_id}", "/cure"),
    ("POST", "own", "edit", DRINK + "/steps/{step_id}", "", "/move", "/delete"),
    ("POST", "own", "edit", ROUTINE, "/deleted-drinks/{drink_id}/restore"),
    # Script and claims.
    ("GET", "help", "read", ROUTINE, "/script"),
    ("GET", "help", "edit", ROUTINE, "/script/paste"),
    ("GET", "help", "study", ROUTINE, "/claims", "/words"),
    ("POST", "own", "edit", ROUTINE + "/script", "", "/check", "/paste", "/paste/save"),
    ("POST", "own", "edit", ROUTINE + "/claims", "/drinks", "/list-all", "/missed", "/tolerance"),
    ("POST", "own", "edit", ROUTINE + "/claims/rows/{claim_id}", "", "/cure", "/gives"),
    ("POST", "own", "edit", ROUTINE + "/claims/rows/{claim_id}", "/list", "/unlist"),
    ("POST", "own", "edit", ROUTINE, "/corrections/{correction_id}/delete"),
    ("POST", "own", "edit", ROUTINE + "/words", "/new", "/delete"),
    # The plan.
    ("GET", "help", "read", ROUTINE + "/plan", "", "/sheet"),
    # What rests on the runs.
    ("GET", "help", "study", ROUTINE + "/plan", "/chance", "/held", "/effect/{segment_id}"),
    ("GET", "help", "study", ROUTINE + "/plan", "/next", "/without"),
    ("GET", "help", "study", ROUTINE + "/plan", "/risk", "/what-if"),
    ("POST", "own", "edit", ROUTINE + "/plan", "/block", "/order", "/what-if"),
    ("POST", "own", "edit", ROUTINE + "/segments/{segment_id}", "", "/move", "/delete"),
    ("POST", "own", "edit", ROUTINE + "/processes/{process_id}", "", "/take-time", "/delete"),
    # Packing, making ahead and buying: ticked by whoever helps.
    ("GET", "help", "study", ROUTINE, "/prepare", "/prepare/ticks", "/prep", "/shopping"),
    ("GET", "help", "study", ROUTINE, "/prep/timetable.ics"),
    ("POST", "help", "present", ROUTINE, "/prepare/ticks"),
    ("POST", "own", "edit", ROUTINE + "/prepare", "/anew", "/as-before", "/reserve", "/left-out"),
    ("POST", "own", "edit", ROUTINE + "/prepare/things/{thing_id}", "", "/delete"),
    ("POST", "own", "edit", ROUTINE + "/prep", "/journey"),
    ("POST", "own", "edit", ROUTINE + "/prep/tasks/{task_id}", "", "/delete"),
    ("POST", "own", "edit", ROUTINE + "/shopping", "/runs"),
    ("POST", "own", "edit", ROUTINE + "/shopping/goods/{good_id}", "", "/delete"),
    # The station.
    ("GET", "help", "study", ROUTINE, "/station"),
    ("POST", "own", "edit", ROUTINE + "/station", "/bar", "/move", "/place", "/better", "/outside"),
    ("POST", "own", "edit", ROUTINE + "/station/surfaces/{surface_id}", "", "/delete"),
    ("POST", "own", "edit", ROUTINE + "/station/spots/{spot_id}", "", "/delete", "/turn"),
    ("GET", "help", "study", "/photographs/{routine_id}", "/{key}"),
    ("POST", "own", "edit", "/photographs/{routine_id}", "", "/under", "/delete"),
    # Learning the words: how a sentence went is the presenter's alone.
    ("GET", "help", "study", ROUTINE, "/learn", "/learn/cards"),
    ("GET", "own", "present", ROUTINE, "/learn/say"),
    ("POST", "own", "present", ROUTINE, "/learn/aim"),
    ("POST", "own", "present", "/api" + ROUTINE, "/learn/marks"),
)

_RUNS: _Rows = (
    # Rehearsing.
    ("GET", "help", "present", ROUTINE, "/rehearse", "/try"),
    ("POST", "help", "present", ROUTINE, "/rehearse"),
    ("GET", "help", "present", RUN, "/stage"),
    ("POST", "help", "present", RUN, "/end", "/go-on"),
    ("POST", "help", "present", API_RUN, "/pulse"),
    ("GET", "help", "study", "/music/{routine_id}", "/{key}"),
    ("POST", "own", "edit", "/music/{routine_id}", "", "/delete"),
    # Letting others watch. With a pass to watch a run, of a run what watchers may send; without
    # one whoever presents.
    ("GET", "help", "present", RUN + "/watchers", "", "/now", "/code.svg"),
    ("POST", "help", "present", RUN + "/watchers", "", "/close"),
    ("GET", "watch", "follow", RUN, "/watch"),
    ("GET", "watch", "present", API_RUN, "/events", "/live", "/watching"),
    ("POST", "watch", "present", API_RUN, "/watching"),
    ("POST", "watch", "send", API_RUN, "/events"),
    # What is said of runs, and whether they stay.
    ("GET", "help", "study", ROUTINE, "/runs", "/runs/remarks"),
    ("GET", "help", "present", ROUTINE, "/runs/by-hand"),
    ("GET", "own", "study", ROUTINE, "/splits.csv"),
    ("POST", "own", "edit", ROUTINE + "/runs", "/counting", "/by-hand", "/sessions/{key}"),
    ("POST", "own", "edit", ROUTINE + "/runs", "/remarks/settle", "/remarks/unsettle"),
    ("POST", "own", "edit", ROUTINE + "/runs", "/plan-time", "/plan-time/undo"),
    ("GET", "help", "study", RUN, ""),
    ("POST", "own", "edit", RUN, "", "/counting", "/splits/counting", "/delete", "/restore"),
    ("POST", "own", "edit", RUN, "/incidents/{incident_id}"),
    ("POST", "own", "edit", RUN + "/remarks/{event_id}", "/delete", "/restore"),
    ("POST", "own", "remark", RUN, "/points"),
    # Drift.
    ("GET", "help", "study", ROUTINE + "/drift", "", "/compare", "/sessions"),
    ("GET", "own", "study", ROUTINE + "/drift", "/report.json", "/{table}.csv"),
    ("POST", "own", "edit", ROUTINE + "/drift", "/goal", "/goal/delete", "/goal/undo"),
    # Recordings: what can be heard is the owner's alone.
    ("POST", "own", "present", API_RUN, "/recordings"),
    ("PUT", "own", "present", "/api" + RECORDING, "/parts/{number}"),
    ("GET HEAD", "own", "hear", RECORDING, ""),
    ("GET", "own", "hear", RECORDING, "/chapters.vtt"),
    ("POST", "own", "edit", RECORDING, "/take", "/delete", "/restore", "/forget"),
    # From a recording to a run.
    ("GET", "own", "hear", ROUTINE, "/takes"),
    ("GET", "own", "hear", TAKE, "", "/job"),
    ("GET HEAD", "own", "hear", TAKE, "/sound"),
    ("POST", "own", "edit", "", "/api/routines/{routine_id}/takes", "/takes/of/{routine_id}"),
    ("POST", "own", "edit", "/api" + TAKE, "/sound"),
    ("PUT", "own", "edit", "/api" + TAKE, "/parts/{number}", "/loudness"),
    ("POST", "own", "edit", TAKE, "/words", "/listen", "/listen/cancel", "/listen/again"),
    ("POST", "own", "edit", TAKE, "/starts/{key}", "/claims", "/plan", "/beside"),
    ("POST", "own", "edit", TAKE, "/run", "/run/undo", "/delete", "/restore", "/forget"),
)

_TASTINGS: _Rows = (
    ("GET", "help", "study", TASTINGS, "", "/order"),
    ("POST", "own", "edit", TASTINGS, "/list", "/pairs"),
    ("GET", "help", "study", SITTING, ""),
    ("GET", "help", "present", SITTING, "/serving", "/code.svg"),
    ("GET", "own", "study", SITTING, "/answers.csv", "/tasting.json"),
    ("POST", "own", "edit", SITTING, "/open", "/close", "/delete", "/restore", "/tasters/{key}"),
    # What needs a pass to taste needs nobody's account.
    ("GET", "taste", "all", TASTE, ""),
    ("POST", "taste", "all", TASTE, "/begin", "/answer"),
)

TABLE: tuple[tuple[str, Need, Ask], ...] = tuple(
    (f"{method} {address}{rest}", need, ask)
    for rows in (_DOOR, _HOUSE, _ROUTINES, _RUNS, _TASTINGS)
    for methods, need, ask, address, *behind in rows
    for method in methods.split()
    for rest in behind
)
"""Method and path of each route, what it asks of a device, what of a person. Files under /static
are anyone's."""

NEEDS: dict[str, Need] = {row: need for row, need, _ in TABLE}
ASKS: dict[str, Ask] = {row: ask for row, _, ask in TABLE}


def need_of(method: str, path: str) -> Need:
    """What a route asks of a device; one that stands in no row is the owner's alone."""
    return NEEDS.get(f"{method} {path}", "own")


def ask_of(method: str, path: str) -> Ask:
    """What a route asks of a person; one that stands in no row is refused to all but the owner."""
    return ASKS.get(f"{method} {path}", "own" if "_id}" in path else "admin")
