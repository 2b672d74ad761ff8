"""What the people of the soak have: three routines full of words that tell whose they are."""

import time
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session

from server.domain.base.standings import RoutineAsk
from server.domain.routine.drink import Drink
from server.domain.routine.plan import Plan
from server.store.annotating import annotate_run
from server.store.database import Database
from server.store.first_time import furnish as furnish_app
from server.store.heard.takes import create_take
from server.store.people.persons import make_person
from server.store.people.sign_ins import sign_in
from server.store.plans import freeze_plan
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import append_events, create_run
from server.store.sharing.shares import give_share
from server.store.sharing.table import TeamMemberRow, TeamRow
from tests.factories import NOW_MS, RULES, make_events, make_routine, make_segment

ADMIN, TEAM = "Ada", "team"
PEOPLE = (ADMIN, "Bea", "Cleo", "Dai", "Eli", "Fay")
OWNERS = {"r1": "Bea", "r2": "Cleo", "r3": "Dai"}
"""Routine -> who owns it at the beginning."""


@dataclass(frozen=True)
class Furnished:
    """Ids of persons, secrets by which they are signed in, and the ids in each routine."""

    persons: dict[str, str]
    tokens: dict[str, str]
    ids: dict[str, dict[str, str]]


def words_of(routine: str) -> list[tuple[RoutineAsk, str]]:
    """What stands in a routine, each with what who finds it must be allowed."""
    needs: tuple[RoutineAsk, ...] = ("show", "read", "study", "hear")
    return [(need, f"Zq{routine}{need}") for need in needs]


def furnish(address: str, folder: Path) -> Furnished:
    """Bring a database up to date and put everything there."""
    now_ms = time.time_ns() // 1_000_000
    database = Database(address, folder=folder)
    database.migrate()
    persons, tokens, ids = {}, {}, {}
    with database.writing() as session:
        furnish_app(session, NOW_MS, False)
        save_rule_sheet(session, RULES)
        for name in PEOPLE:
            persons[name] = make_person(session, name, name, now_ms).id
            tokens[name] = sign_in(session, persons[name], "Phone", now_ms)[1]
        for routine, owner in OWNERS.items():
            ids[routine] = _furnish_routine(session, routine)
            give_share(session, routine, persons[owner], "owner", now_ms)
        session.add(TeamRow(id=TEAM, name="Tide", made_ms=now_ms))
        session.flush()
        session.add(TeamMemberRow(team_id=TEAM, person_id=persons["Bea"], leads=True))
    database.close()
    return Furnished(persons, tokens, ids)


def _furnish_routine(session: Session, key: str) -> dict[str, str]:
    words = dict(words_of(key))
    made = make_routine(
        routine_id=key,
        name=words["show"],
        segments=(make_segment("s1", said=words["read"], hands=words["read"]), "s2", "s3"),
        drinks=(Drink("d1", words["show"], descriptors=("plum",)),),
        notes=words["study"],
    )
    create_routine(session, made, NOW_MS)
    run_id = create_run(session, made, RULES, NOW_MS)
    events = make_events({"s1": 61}, total_s=190, prefix=key)
    append_events(session, run_id, events, NOW_MS)
    annotate_run(session, run_id, words["study"], "")
    plan_key = freeze_plan(session, Plan(made, RULES))
    take_id = create_take(session, key, plan_key, words["hear"], NOW_MS)
    return {
        "routine_id": key, "run_id": run_id, "take_id": take_id, "drink_id": "d1",
        "segment_id": "s1",
    }  # fmt: skip
