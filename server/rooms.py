"""Every module of the web that has routes, and the addresses for which it is loaded.

The order is that in which they are asked where two could answer, and in which they are loaded after
the start: first what a presenter opens first. An address ending in `/*` stands for itself and all
below it. `tests/test_rooms.py` fails on a route that stands at no address of its room.
"""

from server.web.frame.addresses import (
    API_RUN,
    DRINK,
    ROUTINE,
    RUN,
    SHARES,
    SITTING,
    TAKE,
    TASTE,
    TASTINGS,
    TEAM,
)
from server.web.frame.layers.finding import Room


def _room(module: str, *addresses: str) -> Room:
    return Room(f"server.web.{module}", addresses)


_FIRST = (
    _room("frame.health", "/healthz", "/metrics", "/readyz"),
    _room("frame.offline", "/offline", "/sw.js"),
    _room("devices.enter", "/in/*"),
    _room(
        "routines.pages", "/", "/routines", f"{ROUTINE}/copy", f"{ROUTINE}/delete",
        f"{ROUTINE}/move", f"{ROUTINE}/readable", f"{ROUTINE}/restore",
    ),
    _room(
        "today.pages", ROUTINE, f"{ROUTINE}/counting", f"{ROUTINE}/pattern",
        f"{ROUTINE}/remarks/*", f"{ROUTINE}/today",
    ),
    _room("stage.rehearse", f"{ROUTINE}/rehearse"),
    _room("stage.pages", f"{API_RUN}/events", f"{ROUTINE}/try", f"{RUN}/stage"),
    _room("live.routes", f"{API_RUN}/live", f"{API_RUN}/pulse", f"{API_RUN}/watching"),
)  # fmt: skip

_ROUTINES = (
    _room("routines.details", f"{ROUTINE}/details", f"{ROUTINE}/redo", f"{ROUTINE}/undo"),
    _room(
        "drinks.pages", f"{ROUTINE}/drinks", DRINK, f"{DRINK}/copy", f"{DRINK}/delete",
        f"{DRINK}/ingredients/*", f"{DRINK}/move", f"{DRINK}/steps/*", f"{ROUTINE}/library/*",
    ),
    _room("drinks.recipe_lines", f"{DRINK}/lines"),
    _room("drinks.batch", f"{DRINK}/batch"),
    _room("drinks.calculators", "/calculators"),
    _room("drinks.versions", f"{ROUTINE}/drinks/compare"),
    _room("script.declaration", f"{ROUTINE}/declaration"),
    _room("script.pages", f"{ROUTINE}/script", f"{ROUTINE}/script/check"),
    _room("script.claims", f"{ROUTINE}/claims"),
    _room(
        "script.settle", f"{ROUTINE}/claims/list-all", f"{ROUTINE}/claims/missed",
        f"{ROUTINE}/claims/rows/*", f"{ROUTINE}/claims/tolerance", f"{ROUTINE}/corrections/*",
    ),
    _room("script.paste", f"{ROUTINE}/script/paste/*"),
    _room("script.flavour_words", f"{ROUTINE}/words/*"),
    _room(
        "plan.pages", f"{ROUTINE}/plan", f"{ROUTINE}/plan/block", f"{ROUTINE}/processes/*",
        f"{ROUTINE}/segments/*",
    ),
    _room(
        "plan.follow", f"{ROUTINE}/plan/chance", f"{ROUTINE}/plan/effect/*",
        f"{ROUTINE}/plan/held", f"{ROUTINE}/plan/next",
    ),
    _room("plan.risk", f"{ROUTINE}/plan/order", f"{ROUTINE}/plan/risk"),
    _room("plan.what_if", f"{ROUTINE}/plan/what-if"),
    _room("plan.without", f"{ROUTINE}/plan/without"),
    _room("plan.stage_sheet", f"{ROUTINE}/plan/sheet"),
    _room("prepare.pages", f"{ROUTINE}/prepare/*"),
    _room("prepare.prep", f"{ROUTINE}/prep/*"),
    _room("prepare.shopping", f"{ROUTINE}/shopping/*"),
    _room("prepare.station", f"{ROUTINE}/station/*"),
    _room("prepare.photograph", "/photographs/*"),
    _room("prepare.turning", f"{ROUTINE}/station/spots/{{spot_id}}/turn"),
    _room("stage.music", "/music/*"),
    _room("routines.rule_sheets", "/rules/*"),
    _room(
        "routines.files", "/import", f"{ROUTINE}/export.json", f"{ROUTINE}/splits.csv",
        "/schema/routine-1.json",
    ),
)  # fmt: skip

_RUNS = (
    _room("runs.pages", f"{ROUTINE}/runs", f"{RUN}/restore"),
    _room(
        "runs.choices", f"{ROUTINE}/runs/counting", f"{RUN}/counting", f"{RUN}/end",
        f"{RUN}/go-on", f"{RUN}/splits/counting",
    ),
    _room("runs.paper", f"{ROUTINE}/runs/by-hand"),
    _room("runs.review", RUN, f"{RUN}/delete", f"{RUN}/incidents/*", f"{RUN}/points"),
    _room(
        "drift.pages", f"{ROUTINE}/drift", f"{ROUTINE}/drift/goal/*",
    ),
    _room("drift.versus", f"{ROUTINE}/drift/compare"),
    _room("drift.files", f"{ROUTINE}/drift/report.json", f"{ROUTINE}/drift/{{table}}"),
    _room(
        "runs.deleted", "/deleted", "/recordings/{recording_id}/forget",
        "/recordings/{recording_id}/restore", f"{ROUTINE}/deleted-drinks/*",
    ),
    _room("runs.sessions", f"{ROUTINE}/drift/sessions", f"{ROUTINE}/runs/sessions/*"),
    _room("runs.plan_time", f"{ROUTINE}/runs/plan-time/*"),
    _room("frame.trust", "/trust/*"),
    _room("devices.pages", "/devices/*"),
    _room(
        "runs.recordings", "/api/recordings/*", f"{API_RUN}/recordings", "/recordings/*",
    ),
    _room("watching.watchers", f"{RUN}/watchers/*"),
    _room("watching.join", "/join"),
    _room("watching.pages", f"{RUN}/watch"),
    _room("runs.remarks", f"{RUN}/remarks/*"),
    _room("runs.open_remarks", f"{ROUTINE}/runs/remarks/*"),
)  # fmt: skip

_LEARN = (
    _room("learn.pages", f"{ROUTINE}/learn", f"{ROUTINE}/learn/aim"),
    _room("learn.say", f"{ROUTINE}/learn/say"),
    _room("learn.cards", f"{ROUTINE}/learn/cards"),
    _room("learn.learning_marks", f"/api{ROUTINE}/learn/marks"),
)

_HEARD = (
    _room(
        "heard.ways_in", "/recordings/{recording_id}/take", f"{ROUTINE}/takes", "/takes/of/*",
    ),
    _room(
        "heard.arriving", f"/api{ROUTINE}/takes", f"/api{TAKE}/parts/*", f"/api{TAKE}/sound",
        f"{TAKE}/sound",
    ),
    _room("heard.loudness", f"/api{TAKE}/loudness"),
    _room("heard.pages", f"{TAKE}/*"),
    _room("heard.accept", f"{TAKE}/run/*"),
)  # fmt: skip

_TASTERS = (
    _room("tasters.pages", TASTINGS, f"{TASTINGS}/list", f"{TASTINGS}/pairs"),
    _room("tasters.serving", f"{TASTINGS}/order", f"{SITTING}/serving"),
    _room("tasters.one", f"{SITTING}/*"),
    _room("tasters.files", f"{SITTING}/answers.csv", f"{SITTING}/tasting.json"),
    _room("tasters.join", "/taste"),
    _room("tasters.taste", f"{TASTE}/*"),
)

_PEOPLE = (
    _room("people.sign_in", "/sign-in", "/sign-out"),
    _room("people.new_account", "/first-account"),
    _room("people.invited", "/invited/*"),
    _room("people.lost", "/recover", "/reset/*"),
    _room("people.account", "/account/*"),
    _room("people.everybody", "/people/*"),
    _room("people.passkeys", "/account/passkeys/*", "/api/passkeys/*", "/api/sign-in/*"),
    _room("people.oidc", "/sign-in/oidc/*", "/api/organisation/*"),
    _room("sharing.shares", f"{SHARES}/*"),
    _room("sharing.teams", "/teams", f"{TEAM}/*"),
    _room("sharing.house", "/house"),
)

ROOMS = (*_FIRST, *_ROUTINES, *_RUNS, *_LEARN, *_HEARD, *_TASTERS, *_PEOPLE)
