"""Followers of two processes that serve one PostgreSQL database; both run in the test's loop."""

import asyncio
from contextlib import ExitStack

import pytest

from server.domain.base.errors import TooMany
from server.store.between.notices import Notice
from server.store.between.posted import PostedNotices
from server.store.database import Database
from server.store.marks_together import Sent, append_together
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import append_events, create_run
from server.web.live import shared
from server.web.live.frames import frame_of
from server.web.live.shared import SharedBus
from tests import engines
from tests.factories import NOW_MS, RULES, make_event, make_routine
from tests.prepared import put_bare
from tests.store.between.test_notices import END_ALL_OTHERS
from tests.web.live.test_live_bus import Clock, in_thread

pytestmark = pytest.mark.parametrize("engine", [engines.POSTGRES], indirect=True)
WITHIN_S = 20


class _Worker:
    """What a process has of the live streams."""

    def __init__(self, place, folder, loop, clock, most):
        self.database = Database(place, folder=folder)
        self.notices = PostedNotices(self.database)
        self.bus = SharedBus(loop, self.notices, self.database, most, clock)
        self.notices.begin()

    def mark(self, run_id, *events):
        with self.database.writing([run_id]) as session:
            appended = append_events(session, run_id, events, NOW_MS)
            if appended.arrived:
                self.bus.tell(session, {run_id: appended.arrived})
        return [each.rev for each in appended.arrived]

    def new_run(self):
        with self.database.writing() as session:
            return create_run(session, make_routine(), RULES, NOW_MS)

    def end(self):
        self.bus.close()
        self.notices.close()
        self.database.close()


@pytest.fixture
def in_two(engine, tmp_path):
    """Runs an async test with two workers, a run and a clock."""

    def play(scenario, most=50):
        async def run():
            loop, clock, place = asyncio.get_running_loop(), Clock(), put_bare(tmp_path)
            workers = [_Worker(place, tmp_path, loop, clock, most) for _ in range(2)]
            with workers[0].database.writing() as session:
                save_rule_sheet(session, RULES)
                create_routine(session, make_routine(), NOW_MS)
                run_id = create_run(session, make_routine(), RULES, NOW_MS)
            try:
                await asyncio.wait_for(scenario(*workers, run_id, clock), 60)
            finally:
                for each in workers:
                    await asyncio.to_thread(each.end)

        in_thread(run)

    return play


def mark(number):
    kind = "incident" if number else "start"
    return make_event(
        f"e{number}", kind, seq=number, at_s=number, **({"what": "other"} if number else {})
    )


async def revs(follower, number):
    found = []
    while len(found) < number:
        found += [frame.rev for frame in await follower.next(WITHIN_S)]
    return found


async def until(is_so):
    """Go on when something that others do is done."""
    while not is_so():
        await asyncio.sleep(0.005)


def test_marks_sent_through_either_worker_reach_all_followers_once_and_in_order(in_two):
    async def scenario(a, b, run_id, clock):
        with (
            a.bus.following(run_id, "Ada", "k1.a") as ada,
            b.bus.following(run_id, "Ben", "k2.b") as ben,
        ):
            stored = []
            for number in range(20):
                stored += await asyncio.to_thread((a, b)[number % 2].mark, run_id, mark(number))
            assert await revs(ada, 20) == await revs(ben, 20) == stored == sorted(stored)

    in_two(scenario)


def test_marks_of_several_runs_that_were_written_together_reach_the_followers_of_each(in_two):
    async def scenario(a, b, run_id, clock):
        other_id = await asyncio.to_thread(a.new_run)
        sent = [Sent(each, (mark(0),), NOW_MS) for each in (other_id, run_id)]

        def write():
            with a.database.writing([other_id, run_id]) as session:
                appended = append_together(session, sent)
                arrived = [each.arrived for each in appended]
                a.bus.tell(session, dict(zip((other_id, run_id), arrived, strict=True)))
            return [each.rev for (each,) in arrived]

        with (
            b.bus.following(run_id, "Ada", "k1.a") as ada,
            b.bus.following(other_id, "Ben", "k2.b") as ben,
        ):
            of_other, of_run = await asyncio.to_thread(write)
            assert await revs(ada, 1) == [of_run]
            assert await revs(ben, 1) == [of_other]

    in_two(scenario)


def test_of_runs_whose_log_cannot_be_read_the_followers_resume_and_no_others(in_two, monkeypatch):
    async def scenario(a, b, run_id, clock):
        other_id = await asyncio.to_thread(a.new_run)
        read = shared.arrivals_after

        def fails(session, asked_id, rev):
            if asked_id == other_id:
                raise OSError("no")
            return read(session, asked_id, rev)

        monkeypatch.setattr(shared, "arrivals_after", fails)
        with (
            b.bus.following(run_id, "Ada", "k1.a") as ada,
            b.bus.following(other_id, "Ben", "k2.b") as ben,
        ):
            told = [
                Notice(shared.MARKS, each, "x", {"first": 1, "last": 1})
                for each in (run_id, other_id)
            ]
            await asyncio.to_thread(a.mark, run_id, mark(0))
            assert await revs(ada, 1) == [1]
            await asyncio.to_thread(b.bus._read_marks, told)
            assert await ben.next(WITHIN_S) is None
            await asyncio.to_thread(a.mark, run_id, mark(1))
            assert await revs(ada, 1) == [2]

    in_two(scenario)


def test_a_mark_that_is_sent_again_through_the_other_worker_is_told_once(in_two):
    async def scenario(a, b, run_id, clock):
        with b.bus.following(run_id, "Ben", "k2.b") as ben:
            first = await asyncio.to_thread(a.mark, run_id, mark(0))
            assert await asyncio.to_thread(b.mark, run_id, mark(0)) == []
            second = await asyncio.to_thread(b.mark, run_id, mark(1))
            assert await revs(ben, 2) == first + second

    in_two(scenario)


def test_who_watches_is_counted_over_all_workers(in_two):
    async def scenario(a, b, run_id, clock):
        with a.bus.following(run_id, "Ada", "k1.a"), b.bus.following(run_id, "Ben", "k2.b"):
            for each in (a, b):
                await until(lambda each=each: sorted(each.bus.names(run_id)) == ["Ada", "Ben"])
            clock.now_s = 11
            # Its page says so to the worker that it does not follow on.
            a.bus.heard(run_id, "k2.b")
            await until(lambda: b.bus._of(run_id)[0].heard_s == 11)
            clock.now_s = 13
            assert a.bus.names(run_id) == b.bus.names(run_id) == ["Ben"]
        await until(lambda: a.bus.names(run_id) == [])

    in_two(scenario)


def test_a_worker_that_comes_later_asks_who_is_there(in_two):
    async def scenario(a, b, run_id, clock):
        with a.bus.following(run_id, "Ada", "k1.a"):
            await until(lambda: b.bus.names(run_id) == ["Ada"])
            b.bus._begin_anew()
            assert b.bus.names(run_id) == []
            await until(lambda: b.bus.names(run_id) == ["Ada"])

    in_two(scenario)


def test_a_device_that_comes_again_through_another_worker_takes_its_own_place(in_two):
    async def scenario(a, b, run_id, clock):
        with a.bus.following(run_id, "Ada", "k1.a") as before:
            await until(lambda: b.bus.names(run_id) == ["Ada"])
            with b.bus.following(run_id, "Ada", "k1.a") as after:
                assert await before.next(WITHIN_S) is None
                assert b.bus.names(run_id) == ["Ada"]
                await asyncio.to_thread(a.mark, run_id, mark(0))
                assert len(await revs(after, 1)) == 1

    in_two(scenario, most=1)


def test_one_pass_holds_three_pages_over_all_workers_and_the_oldest_makes_room(in_two):
    async def scenario(a, b, run_id, clock):
        with ExitStack() as pages:
            opened = []
            for number in range(4):
                bus = (a, b)[number % 2].bus
                opened.append(pages.enter_context(bus.following(run_id, "Ada", f"k1.{number}")))
                await until(
                    lambda: all(
                        run_id in each.bus._places
                        and any(
                            place.device == f"k1.{number}"  # noqa: B023
                            for place in each.bus._places[run_id].values()
                        )
                        for each in (a, b)
                    )
                )
            assert await opened[0].next(WITHIN_S) is None
            for each in (a, b):
                await until(lambda each=each: len(each.bus.names(run_id)) == 3)

    in_two(scenario)


def test_as_many_watch_over_all_workers_as_can_and_no_more(in_two):
    async def scenario(a, b, run_id, clock):
        with a.bus.following(run_id, "Ada", "k1.a"), b.bus.following(run_id, "Ben", "k2.b"):
            await until(lambda: len(a.bus.names(run_id)) == 2)
            with pytest.raises(TooMany):
                a.bus.require_room(run_id)

    in_two(scenario, most=2)


def test_closing_a_run_through_one_worker_ends_the_streams_of_the_other(in_two):
    async def scenario(a, b, run_id, clock):
        def close():
            with a.database.writing() as session:
                a.bus.end_with(session, run_id)

        with b.bus.following(run_id, "Ben", "k2.b") as ben:
            await asyncio.to_thread(close)
            assert await ben.next(WITHIN_S) is None

    in_two(scenario)


def test_the_pulse_of_the_clock_reaches_followers_of_all_workers(in_two):
    async def scenario(a, b, run_id, clock):
        beat = frame_of("pulse", {"elapsed_ms": 5.0})
        with (
            a.bus.following(run_id, "Ada", "k1.a") as ada,
            b.bus.following(run_id, "Ben", "k2.b") as ben,
        ):
            a.bus.pulse(run_id, beat)
            assert list(await ada.next(WITHIN_S)) == list(await ben.next(WITHIN_S)) == [beat]

    in_two(scenario)


def test_who_may_have_missed_something_is_let_go_of_and_resumes(in_two):
    async def scenario(a, b, run_id, clock):
        with b.bus.following(run_id, "Ben", "k2.b") as ben:
            with a.database.engine.writer.connect() as connection:
                connection.exec_driver_sql(END_ALL_OTHERS)
            assert await ben.next(WITHIN_S) is None

    in_two(scenario)


def test_of_two_let_in_at_the_same_instant_by_two_workers_only_one_finds_room(in_two):
    async def scenario(a, b, run_id, clock):
        with ExitStack() as of_a, ExitStack() as of_b:
            # Neither has heard of the other yet.
            ada = of_a.enter_context(a.bus.following(run_id, "Ada", "k1.a"))
            ben = of_b.enter_context(b.bus.following(run_id, "Ben", "k2.b"))
            waits = {
                asyncio.create_task(ada.next(WITHIN_S)): of_a,
                asyncio.create_task(ben.next(WITHIN_S)): of_b,
            }
            (gone,), stays = await asyncio.wait(waits, return_when=asyncio.FIRST_COMPLETED)
            assert gone.result() is None
            waits[gone].close()
            await until(lambda: a.bus.names(run_id) == b.bus.names(run_id))
            assert len(a.bus.names(run_id)) == 1
            for each in stays:
                each.cancel()

    in_two(scenario, most=1)
