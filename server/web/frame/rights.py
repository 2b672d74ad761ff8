"""Every address and what it asks of whoever asks for it: the one table of rights.

An address that stands in no row asks for the owner's device; `tests/web/devices/test_rights.py`
fails on a route without one, and tries all of them as a stranger, a watcher and a helper.
"""

from server.domain.base.rights import Need

ROUTINE = "/routines/{routine_id}"
DRINK = ROUTINE + "/drinks/{drink_id}"
RUN = "/runs/{run_id}"
API_RUN = "/api/runs/{run_id}"
TAKE = "/takes/{take_id}"
TASTINGS = ROUTINE + "/tastings"
SITTING = TASTINGS + "/{sitting_id}"
TASTE = "/tastings/{sitting_id}/taste"
SHARES = ROUTINE + "/people"
TEAM = "/teams/{team_id}"

_ANYONE = (
    "GET /healthz", "GET /readyz", "GET /metrics", "GET /sw.js", "GET /offline",
    "GET /trust", "GET /trust/ninefifty-authority.crt", "GET /trust/ninefifty-authority.pem",
    "GET /in", "POST /in", "POST /in/link", "GET /join", "POST /join",
    "GET /taste", "POST /taste",
    # What leads to being signed in, or out.
    "GET /sign-in", "POST /sign-in", "POST /sign-out", "GET /invited", "POST /invited",
    "POST /invited/account", "GET /recover", "POST /recover", "GET /reset", "POST /reset",
    "POST /reset/password", "POST /api/sign-in/begin", "POST /api/sign-in/passkey",
    "GET /sign-in/oidc", "GET /sign-in/oidc/back",
)  # fmt: skip

_WATCH = (
    f"GET {RUN}/watch", f"GET {API_RUN}/events", f"POST {API_RUN}/events",
    f"GET {API_RUN}/live", f"GET {API_RUN}/watching", f"POST {API_RUN}/watching",
)  # fmt: skip

_TASTE = (f"GET {TASTE}", f"POST {TASTE}/begin", f"POST {TASTE}/answer")

_HELP = (
    # Looking at what there is.
    "GET /", "GET /routines", "GET /calculators", "GET /rules", "GET /rules/{sheet_id}",
    "GET /schema/routine-1.json",
    f"GET {ROUTINE}", f"GET {ROUTINE}/details", f"GET {ROUTINE}/drinks",
    f"GET {ROUTINE}/library/{{key}}", f"GET {DRINK}/batch", f"GET {ROUTINE}/drinks/compare",
    f"GET {ROUTINE}/declaration", f"GET {ROUTINE}/script", f"GET {ROUTINE}/claims",
    f"GET {ROUTINE}/script/paste", f"GET {ROUTINE}/words", f"GET {ROUTINE}/plan",
    f"GET {ROUTINE}/plan/chance", f"GET {ROUTINE}/plan/effect/{{segment_id}}",
    f"GET {ROUTINE}/plan/next", f"GET {ROUTINE}/plan/held", f"GET {ROUTINE}/plan/risk",
    f"GET {ROUTINE}/plan/what-if", f"GET {ROUTINE}/plan/without", f"GET {ROUTINE}/plan/sheet",
    f"GET {ROUTINE}/runs", f"GET {ROUTINE}/runs/by-hand", f"GET {ROUTINE}/drift",
    f"GET {ROUTINE}/drift/compare", f"GET {ROUTINE}/drift/sessions", f"GET {RUN}",
    f"GET {ROUTINE}/runs/remarks",
    # Packing, and making ahead: ticked by whoever helps.
    f"GET {ROUTINE}/prepare", f"GET {ROUTINE}/prepare/ticks", f"POST {ROUTINE}/prepare/ticks",
    f"GET {ROUTINE}/prep", f"GET {ROUTINE}/shopping",
    f"GET {ROUTINE}/learn", f"GET {ROUTINE}/learn/cards",
    f"GET {ROUTINE}/station", f"GET {ROUTINE}/prep/timetable.ics",
    # Rehearsing, and letting others watch.
    f"GET {ROUTINE}/rehearse", f"POST {ROUTINE}/rehearse", f"GET {ROUTINE}/try",
    f"GET {RUN}/stage", f"POST {API_RUN}/pulse", "GET /music/{routine_id}/{key}",
    "GET /photographs/{routine_id}/{key}",
    f"POST {RUN}/end", f"POST {RUN}/go-on",
    f"GET {RUN}/watchers", f"GET {RUN}/watchers/now", f"GET {RUN}/watchers/code.svg",
    f"POST {RUN}/watchers", f"POST {RUN}/watchers/close",
    # Serving those who taste.
    f"GET {TASTINGS}", f"GET {TASTINGS}/order", f"GET {SITTING}", f"GET {SITTING}/serving",
    f"GET {SITTING}/code.svg",
)  # fmt: skip

_OWN = (
    # Routines, and what is in them.
    "POST /routines", f"POST {ROUTINE}/copy", f"POST {ROUTINE}/delete", f"POST {ROUTINE}/restore",
    f"POST {ROUTINE}/move", f"POST {ROUTINE}/today", f"POST {ROUTINE}/pattern",
    f"POST {ROUTINE}/readable",
    f"POST {ROUTINE}/remarks/settle", f"POST {ROUTINE}/remarks/unsettle",
    f"POST {ROUTINE}/counting", f"POST {ROUTINE}/details", f"POST {ROUTINE}/undo",
    f"POST {ROUTINE}/redo",
    f"POST {DRINK}", f"POST {DRINK}/copy", f"POST {DRINK}/move", f"POST {DRINK}/delete",
    f"POST {DRINK}/ingredients/{{ingredient_id}}",
    f"POST {DRINK}/ingredients/{{ingredient_id}}/move",
    f"POST {DRINK}/ingredients/{{ingredient_id}}/delete",
    f"POST {DRINK}/ingredients/{{ingredient_id}}/cure",
    f"POST {DRINK}/steps/{{step_id}}", f"POST {DRINK}/steps/{{step_id}}/move",
    f"POST {DRINK}/steps/{{step_id}}/delete", f"POST {DRINK}/lines",
    f"POST {ROUTINE}/script", f"POST {ROUTINE}/script/check",
    f"POST {ROUTINE}/claims/rows/{{claim_id}}", f"POST {ROUTINE}/claims/rows/{{claim_id}}/cure",
    f"POST {ROUTINE}/claims/rows/{{claim_id}}/list",
    f"POST {ROUTINE}/claims/rows/{{claim_id}}/unlist", f"POST {ROUTINE}/claims/list-all",
    f"POST {ROUTINE}/claims/missed", f"POST {ROUTINE}/corrections/{{correction_id}}/delete",
    f"POST {ROUTINE}/script/paste", f"POST {ROUTINE}/script/paste/save",
    f"POST {ROUTINE}/claims/tolerance", f"POST {ROUTINE}/words/new", f"POST {ROUTINE}/words/delete",
    f"POST {ROUTINE}/segments/{{segment_id}}", f"POST {ROUTINE}/segments/{{segment_id}}/move",
    f"POST {ROUTINE}/plan/block", f"POST {ROUTINE}/segments/{{segment_id}}/delete",
    f"POST {ROUTINE}/processes/{{process_id}}",
    f"POST {ROUTINE}/processes/{{process_id}}/take-time",
    f"POST {ROUTINE}/processes/{{process_id}}/delete",
    f"POST {ROUTINE}/plan/order", f"POST {ROUTINE}/plan/what-if",
    f"POST {ROUTINE}/prepare/anew", f"POST {ROUTINE}/prepare/as-before",
    f"POST {ROUTINE}/prepare/reserve", f"POST {ROUTINE}/prepare/left-out",
    f"POST {ROUTINE}/prepare/things/{{thing_id}}",
    f"POST {ROUTINE}/prepare/things/{{thing_id}}/delete",
    f"POST {ROUTINE}/prep/journey", f"POST {ROUTINE}/prep/tasks/{{task_id}}",
    f"POST {ROUTINE}/prep/tasks/{{task_id}}/delete",
    f"POST {ROUTINE}/shopping/runs", f"POST {ROUTINE}/shopping/goods/{{good_id}}",
    f"POST {ROUTINE}/shopping/goods/{{good_id}}/delete",
    f"POST {ROUTINE}/station/bar", f"POST {ROUTINE}/station/surfaces/{{surface_id}}",
    f"POST {ROUTINE}/station/surfaces/{{surface_id}}/delete",
    f"POST {ROUTINE}/station/spots/{{spot_id}}", f"POST {ROUTINE}/station/spots/{{spot_id}}/delete",
    f"POST {ROUTINE}/station/move", f"POST {ROUTINE}/station/place",
    f"POST {ROUTINE}/station/better", f"POST {ROUTINE}/station/outside",
    "POST /music/{routine_id}", "POST /music/{routine_id}/delete",
    "POST /photographs/{routine_id}", "POST /photographs/{routine_id}/under",
    "POST /photographs/{routine_id}/delete", f"POST {ROUTINE}/station/spots/{{spot_id}}/turn",
    "PUT /api/takes/{take_id}/loudness",
    "POST /rules/{sheet_id}", "POST /rules/{sheet_id}/calls", "POST /rules/{sheet_id}/copy",
    "POST /rules/{sheet_id}/delete", "POST /rules/{sheet_id}/restore",
    # Learning the words: how a sentence went is the presenter's alone.
    f"GET {ROUTINE}/learn/say", f"POST /api{ROUTINE}/learn/marks", f"POST {ROUTINE}/learn/aim",
    # Runs: what is said of them, and whether they stay.
    f"POST {RUN}/splits/counting", f"POST {ROUTINE}/runs/remarks/settle",
    f"POST {ROUTINE}/runs/remarks/unsettle",
    f"POST {ROUTINE}/runs/counting", f"POST {RUN}/counting", f"POST {RUN}", f"POST {RUN}/points",
    f"POST {RUN}/incidents/{{incident_id}}", f"POST {RUN}/delete", f"POST {RUN}/restore",
    f"POST {RUN}/remarks/{{event_id}}/delete", f"POST {RUN}/remarks/{{event_id}}/restore",
    f"POST {ROUTINE}/runs/by-hand", f"POST {ROUTINE}/runs/sessions/{{key}}",
    f"POST {ROUTINE}/runs/plan-time", f"POST {ROUTINE}/runs/plan-time/undo",
    f"POST {ROUTINE}/drift/goal", f"POST {ROUTINE}/drift/goal/delete",
    f"POST {ROUTINE}/drift/goal/undo",
    # Everything as a file.
    "POST /import", f"GET {ROUTINE}/export.json", f"GET {ROUTINE}/splits.csv",
    f"GET {ROUTINE}/drift/report.json", f"GET {ROUTINE}/drift/{{table}}.csv",
    # Recordings.
    f"POST {API_RUN}/recordings", "PUT /api/recordings/{recording_id}/parts/{number}",
    "GET /recordings", "GET /recordings/{recording_id}", "HEAD /recordings/{recording_id}",
    "GET /recordings/{recording_id}/chapters.vtt", "POST /recordings/{recording_id}/delete",
    # From a recording to a run: what can be heard is the owner's alone.
    f"GET {ROUTINE}/takes", "POST /takes/of/{routine_id}", "POST /recordings/{recording_id}/take",
    "POST /api/routines/{routine_id}/takes", f"POST /api{TAKE}/sound",
    f"PUT /api{TAKE}/parts/{{number}}", f"GET {TAKE}/sound", f"HEAD {TAKE}/sound",
    f"GET {TAKE}", f"GET {TAKE}/job", f"POST {TAKE}/words", f"POST {TAKE}/listen",
    f"POST {TAKE}/listen/cancel", f"POST {TAKE}/listen/again",
    f"POST {TAKE}/starts/{{key}}", f"POST {TAKE}/claims",
    f"POST {TAKE}/plan", f"POST {TAKE}/beside", f"POST {TAKE}/delete", f"POST {TAKE}/restore",
    f"POST {TAKE}/forget", f"POST {TAKE}/run", f"POST {TAKE}/run/undo",
    # What was deleted, brought back or gone for good.
    "GET /deleted", "POST /recordings/{recording_id}/restore",
    "POST /recordings/{recording_id}/forget",
    f"POST {ROUTINE}/deleted-drinks/{{drink_id}}/restore",
    # Who is let in.
    "GET /devices", "GET /devices/code.svg", "POST /devices/code", "POST /devices/code/close",
    "POST /devices/{key}", "POST /devices/{key}/take", "POST /devices/{key}/back",
    # Tastings.
    f"POST {TASTINGS}/list", f"POST {TASTINGS}/pairs", f"POST {SITTING}/open",
    f"POST {SITTING}/close", f"POST {SITTING}/delete", f"POST {SITTING}/restore",
    f"POST {SITTING}/tasters/{{key}}", f"GET {SITTING}/answers.csv",
    f"GET {SITTING}/tasting.json",
    # People of a routine, teams, the house: only where people have accounts (see `asks`).
    f"GET {SHARES}", f"POST {SHARES}", f"POST {SHARES}/hand-on",
    f"POST {SHARES}/invite", f"POST {SHARES}/leave",
    f"POST {SHARES}/team", f"POST {SHARES}/team/end",
    f"POST {SHARES}/{{person_id}}", f"POST {SHARES}/{{person_id}}/take",
    "GET /teams", "POST /teams", f"GET {TEAM}", f"POST {TEAM}", f"POST {TEAM}/members",
    f"POST {TEAM}/members/{{person_id}}", f"POST {TEAM}/members/{{person_id}}/take",
    f"POST {TEAM}/leave", f"POST {TEAM}/sheets", f"POST {TEAM}/dissolve", "GET /house",
)  # fmt: skip

PERSONS = (
    # One's own account: of whoever is signed in, and of nobody where people have none.
    "GET /account", "POST /account", "POST /account/password", "POST /account/codes",
    "POST /account/devices/{key}/end", "POST /account/devices/others/end",
    "POST /account/passkeys/{passkey_id}/remove", "POST /api/passkeys/begin", "POST /api/passkeys",
)  # fmt: skip

ADMINS = (
    # Who has an account: the admin's.
    "GET /people", "POST /people/invite", "POST /people/invitations/{invitation_id}/withdraw",
    "POST /people/{person_id}/end", "POST /people/{person_id}/back",
    "POST /people/{person_id}/admin", "POST /people/{person_id}/reset",
)  # fmt: skip

_ROWS: tuple[tuple[Need, tuple[str, ...]], ...] = (
    ("anyone", _ANYONE),
    ("watch", _WATCH),
    ("help", _HELP),
    ("own", _OWN),
    ("taste", _TASTE),
    ("own", ("GET /first-account", "POST /first-account", *PERSONS, *ADMINS)),
)

NEEDS: dict[str, Need] = {row: need for need, rows in _ROWS for row in rows}
"""Method and path of a route -> what it asks for. Files under /static are anyone's."""


def need_of(method: str, path: str) -> Need:
    """What a route asks for; one that stands in no row is the owner's alone."""
    return NEEDS.get(f"{method} {path}", "own")
