"""The page of one who watches a run: everything it needs to go on while the server is away."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.runs.events import INCIDENTS, Incident
from server.domain.runs.joining import PASS_LASTS_MS
from server.store.database import Database
from server.store.runs import StoredRun, load_live_run
from server.store.sharing.passes import admit_person, is_of_another, key_of_person
from server.store.watchers import Watcher, watcher_with
from server.web.frame.cookies import cookie_of, keep, watch_cookie
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession
from server.web.frame.door import Asker, HeldAsker
from server.web.frame.offered.links import kept_for
from server.web.frame.render import see, templates
from server.web.frame.shown import Page
from server.web.live.for_judges import events_for_judge
from server.web.plan.outlook import ExpectedStep, HeldOutlooks
from server.web.stage.run_data import expected_steps, script_safe, stage_data, without_words

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class WatchPage(Page, folder="watching"):
    """The page of one who watches a run."""

    routine: Routine
    who: str
    """The name under which their remarks stand."""
    incidents: Mapping[Incident, str]
    rules: RuleSheet
    data_json: Markup


@router.get("/runs/{run_id}/watch")
def watch_page(
    request: Request,
    session: ReadSession,
    held: HeldDatabase,
    outlooks: HeldOutlooks,
    asker: HeldAsker,
    now_ms: NowMs,
    run_id: str,
) -> Response:
    run = load_live_run(session, run_id)
    token = cookie_of(request, watch_cookie(run_id))
    watcher = watcher_with(session, run_id, token, now_ms)
    if watcher is not None and is_of_another(watcher, asker.person):
        watcher = None
    if watcher is None:
        return _by_standing(request, held, asker, run_id, now_ms)
    is_by_standing = asker.person is not None and watcher.key == key_of_person(asker.person.id)
    if asker.judges:
        # Also one whom a code let in: a judge stays a judge.
        events = events_for_judge(session, run_id, watcher, run.record.events)
        run = replace(run, record=replace(run.record, events=events))
    if is_by_standing or asker.judges:
        expected = expected_steps(session, outlooks, run) if asker.may("study") else {}
        data = watch_data(run, watcher, expected, tells_words=asker.may("read"))
    else:
        data = watch_data(run, watcher, expected_steps(session, outlooks, run))
    shown = WatchPage(
        routine=run.plan.routine,
        who=watcher.name,
        incidents=INCIDENTS,
        rules=run.plan.rules,
        data_json=Markup(script_safe(data)),  # noqa: S704  (see there)
    )
    page = templates.TemplateResponse(request, "watching/page.html", shown.values())
    # As the stage: kept for a while, so that it opens again while the server is away.
    page.headers["Cache-Control"] = kept_for(asker)
    # It holds a name: who joins anew under another one must not meet the old page.
    page.headers["Vary"] = "Cookie"
    return page


def _by_standing(
    request: Request, held: Database, asker: Asker, run_id: str, now_ms: int
) -> Response:
    """Let in whoever may follow the run by how they stand to its routine; others need its code."""
    person = asker.person
    if person is None or not asker.may("follow"):
        return see("/join")
    with held.writing() as session:
        _, token = admit_person(session, run_id, person, now_ms)
    answer = see(request.url.path)
    keep(request, answer, watch_cookie(run_id), token, PASS_LASTS_MS // 1000)
    return answer


def watch_data(
    run: StoredRun,
    watcher: Watcher,
    expected: Mapping[str, ExpectedStep] | None = None,
    *,
    tells_words: bool = True,
) -> dict[str, object]:
    """What the stage knows of the run, and who watches it.

    To a judge it `tells_words` of the script no more than is heard, and nothing of the hands.
    """
    run_id = run.record.id
    data = stage_data(run, expected=expected)
    if not tells_words:
        data |= without_words(data)
    return data | {
        "who": watcher.name,
        "criteria": [
            {
                "id": each.id,
                "name": each.name,
                "most_points": each.most_points,
                "weight": each.weight,
            }
            for each in run.plan.rules.criteria
        ],
        "urls": {
            "events": f"/api/runs/{run_id}/events",
            "live": f"/api/runs/{run_id}/live",
            "watching": f"/api/runs/{run_id}/watching",
            "join": "/join",
        },
    }
