"""Every address and what it asks of a person, where people have accounts: the same table's other
column. What each standing to a routine may be asked for stands in `domain/base/standings.py`.

An address that stands in no row is its owner's alone, or the admin's where it is of no routine;
`tests/web/sharing/test_asks.py` fails on a route without one, and tries all of them as everybody.
"""

from server.domain.base.standings import Ask
from server.web.frame.rights import (
    ADMINS,
    API_RUN,
    DRINK,
    NEEDS,
    PERSONS,
    ROUTINE,
    RUN,
    SHARES,
    SITTING,
    TAKE,
    TASTINGS,
    TEAM,
)

_PERSON = (
    "GET /", "GET /routines", "GET /calculators", "GET /rules", "GET /schema/routine-1.json",
    "POST /routines",
    "POST /import", "GET /recordings", "GET /deleted", "GET /teams", "POST /teams",
    # They lead on to one's own account.
    "GET /devices", "GET /first-account", "POST /first-account",
    *PERSONS,
)  # fmt: skip

_ADMIN = (
    "GET /house",
    # Devices of the owner's open nothing while people have accounts.
    "GET /devices/code.svg", "POST /devices/code", "POST /devices/code/close",
    "POST /devices/{key}", "POST /devices/{key}/take", "POST /devices/{key}/back",
    *ADMINS,
)  # fmt: skip

_SHOW = (
    # A person whose standing shows less than Today is led on to what it shows.
    f"GET {ROUTINE}", f"GET {ROUTINE}/declaration", f"GET {SHARES}", f"POST {SHARES}/leave",
)  # fmt: skip

_READ = (
    f"GET {ROUTINE}/drinks", f"GET {ROUTINE}/library/{{key}}", f"GET {DRINK}/batch",
    f"GET {ROUTINE}/drinks/compare", f"GET {ROUTINE}/script", f"GET {ROUTINE}/plan",
    f"GET {ROUTINE}/plan/chance", f"GET {ROUTINE}/plan/held", f"GET {ROUTINE}/plan/sheet",
)  # fmt: skip

_FOLLOW = (f"GET {RUN}/watch",)

_STUDY = (
    f"GET {ROUTINE}/details", f"GET {ROUTINE}/claims", f"GET {ROUTINE}/words",
    f"GET {ROUTINE}/plan/effect/{{segment_id}}", f"GET {ROUTINE}/plan/next",
    f"GET {ROUTINE}/plan/risk", f"GET {ROUTINE}/plan/what-if", f"GET {ROUTINE}/plan/without",
    f"GET {ROUTINE}/runs", f"GET {ROUTINE}/drift", f"GET {ROUTINE}/drift/compare",
    f"GET {ROUTINE}/drift/sessions", f"GET {RUN}", f"GET {ROUTINE}/runs/remarks",
    f"GET {ROUTINE}/prepare", f"GET {ROUTINE}/prepare/ticks", f"GET {ROUTINE}/prep",
    f"GET {ROUTINE}/shopping", f"GET {ROUTINE}/station", f"GET {ROUTINE}/prep/timetable.ics",
    f"GET {ROUTINE}/learn", f"GET {ROUTINE}/learn/cards", "GET /music/{routine_id}/{key}",
    "GET /photographs/{routine_id}/{key}",
    f"GET {TASTINGS}", f"GET {TASTINGS}/order", f"GET {SITTING}", f"GET {SITTING}/answers.csv",
    f"GET {SITTING}/tasting.json", f"GET {ROUTINE}/splits.csv",
    f"GET {ROUTINE}/drift/report.json", f"GET {ROUTINE}/drift/{{table}}.csv",
)  # fmt: skip

_REMARK = (f"POST {RUN}/points",)

_HEAR = (
    "GET /recordings/{recording_id}", "HEAD /recordings/{recording_id}",
    "GET /recordings/{recording_id}/chapters.vtt", f"GET {ROUTINE}/takes", f"GET {TAKE}",
    f"GET {TAKE}/job", f"GET {TAKE}/sound", f"HEAD {TAKE}/sound",
)  # fmt: skip

_PRESENT = (
    f"GET {ROUTINE}/rehearse", f"POST {ROUTINE}/rehearse", f"GET {ROUTINE}/try",
    f"GET {RUN}/stage", f"POST {API_RUN}/pulse", f"POST {RUN}/end", f"POST {RUN}/go-on",
    f"GET {RUN}/watchers", f"GET {RUN}/watchers/now", f"GET {RUN}/watchers/code.svg",
    f"POST {RUN}/watchers", f"POST {RUN}/watchers/close", f"GET {ROUTINE}/runs/by-hand",
    f"POST {ROUTINE}/prepare/ticks", f"GET {ROUTINE}/learn/say",
    f"POST /api{ROUTINE}/learn/marks", f"POST {ROUTINE}/learn/aim",
    f"GET {SITTING}/serving", f"GET {SITTING}/code.svg",
    # Of a run: with a pass to watch it, what watchers may send. Else whoever presents.
    f"GET {API_RUN}/events", f"GET {API_RUN}/live",
    f"GET {API_RUN}/watching", f"POST {API_RUN}/watching",
    f"POST {API_RUN}/recordings", "PUT /api/recordings/{recording_id}/parts/{number}",
)  # fmt: skip

_SEND = (f"POST {API_RUN}/events",)

_EDIT = (
    f"GET {ROUTINE}/script/paste", f"GET {ROUTINE}/export.json", f"POST {ROUTINE}/copy",
    f"POST {ROUTINE}/move", f"POST {ROUTINE}/today", f"POST {ROUTINE}/pattern",
    f"POST {ROUTINE}/readable", f"POST {ROUTINE}/remarks/settle",
    f"POST {ROUTINE}/remarks/unsettle", f"POST {ROUTINE}/counting", f"POST {ROUTINE}/details",
    f"POST {ROUTINE}/undo", f"POST {ROUTINE}/redo",
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
    "PUT /api/takes/{take_id}/loudness", "POST /photographs/{routine_id}",
    "POST /photographs/{routine_id}/under",
    "POST /photographs/{routine_id}/delete", f"POST {ROUTINE}/station/spots/{{spot_id}}/turn",
    f"POST {RUN}/splits/counting", f"POST {ROUTINE}/runs/remarks/settle",
    f"POST {ROUTINE}/runs/remarks/unsettle", f"POST {ROUTINE}/runs/counting",
    f"POST {RUN}/counting", f"POST {RUN}",
    f"POST {RUN}/incidents/{{incident_id}}", f"POST {RUN}/delete", f"POST {RUN}/restore",
    f"POST {RUN}/remarks/{{event_id}}/delete", f"POST {RUN}/remarks/{{event_id}}/restore",
    f"POST {ROUTINE}/runs/by-hand", f"POST {ROUTINE}/runs/sessions/{{key}}",
    f"POST {ROUTINE}/runs/plan-time", f"POST {ROUTINE}/runs/plan-time/undo",
    f"POST {ROUTINE}/drift/goal", f"POST {ROUTINE}/drift/goal/delete",
    f"POST {ROUTINE}/drift/goal/undo",
    "POST /recordings/{recording_id}/delete", "POST /recordings/{recording_id}/restore",
    "POST /recordings/{recording_id}/forget", "POST /recordings/{recording_id}/take",
    "POST /takes/of/{routine_id}", "POST /api/routines/{routine_id}/takes",
    f"POST /api{TAKE}/sound", f"PUT /api{TAKE}/parts/{{number}}", f"POST {TAKE}/words",
    f"POST {TAKE}/listen", f"POST {TAKE}/listen/cancel", f"POST {TAKE}/listen/again",
    f"POST {TAKE}/starts/{{key}}",
    f"POST {TAKE}/claims", f"POST {TAKE}/plan", f"POST {TAKE}/beside", f"POST {TAKE}/delete",
    f"POST {TAKE}/restore", f"POST {TAKE}/forget", f"POST {TAKE}/run", f"POST {TAKE}/run/undo",
    f"POST {ROUTINE}/deleted-drinks/{{drink_id}}/restore",
    f"POST {TASTINGS}/list", f"POST {TASTINGS}/pairs", f"POST {SITTING}/open",
    f"POST {SITTING}/close", f"POST {SITTING}/delete", f"POST {SITTING}/restore",
    f"POST {SITTING}/tasters/{{key}}",
)  # fmt: skip

_OWN = (
    f"POST {ROUTINE}/delete", f"POST {ROUTINE}/restore", f"POST {SHARES}", f"POST {SHARES}/invite",
    f"POST {SHARES}/hand-on", f"POST {SHARES}/team", f"POST {SHARES}/team/end",
    f"POST {SHARES}/{{person_id}}", f"POST {SHARES}/{{person_id}}/take",
)  # fmt: skip

_SHEET = ("GET /rules/{sheet_id}", "POST /rules/{sheet_id}/calls", "POST /rules/{sheet_id}/copy")

_SHEET_EDIT = (
    "POST /rules/{sheet_id}", "POST /rules/{sheet_id}/delete", "POST /rules/{sheet_id}/restore",
)  # fmt: skip

_TEAM = (f"GET {TEAM}", f"POST {TEAM}/leave", f"POST {TEAM}/sheets")

_LEAD = (
    f"POST {TEAM}", f"POST {TEAM}/members", f"POST {TEAM}/members/{{person_id}}",
    f"POST {TEAM}/members/{{person_id}}/take", f"POST {TEAM}/dissolve",
)  # fmt: skip

_ROWS: tuple[tuple[Ask, tuple[str, ...]], ...] = (
    # What needs nobody's device, or a pass to taste, needs nobody's account.
    ("all", tuple(row for row, need in NEEDS.items() if need in ("anyone", "taste"))),
    ("person", _PERSON),
    ("admin", _ADMIN),
    ("show", _SHOW),
    ("read", _READ),
    ("follow", _FOLLOW),
    ("study", _STUDY),
    ("remark", _REMARK),
    ("hear", _HEAR),
    ("present", _PRESENT),
    ("send", _SEND),
    ("edit", _EDIT),
    ("own", _OWN),
    ("sheet", _SHEET),
    ("sheet-edit", _SHEET_EDIT),
    ("team", _TEAM),
    ("lead", _LEAD),
)

ASKS: dict[str, Ask] = {row: ask for ask, rows in _ROWS for row in rows}
"""Method and path of a route -> what it asks of a person."""


def ask_of(method: str, path: str) -> Ask:
    """What a route asks of a person; one that stands in no row is refused to all but the owner."""
    return ASKS.get(f"{method} {path}", "own" if "_id}" in path else "admin")
