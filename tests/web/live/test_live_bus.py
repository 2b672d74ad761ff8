"""The bus in an event loop of the test's own; the stream over a real connection is in test_live."""

import asyncio
from concurrent.futures import ThreadPoolExecutor
from threading import Thread

import pytest

from server.domain.base.errors import TooMany
from server.web.live.bus import HEARD_WITHIN_S, MOST_WAITING, LiveBus
from server.web.live.frames import StreamFrame


def in_thread(run):
    """Run it in a loop of its own, also where a browser's loop runs in this thread already."""
    with ThreadPoolExecutor(1) as pool:
        pool.submit(lambda: asyncio.run(run())).result()


def in_loop(scenario):
    """Run an async test."""

    async def run():
        await asyncio.wait_for(scenario(LiveBus(asyncio.get_running_loop(), most=3)), 5)

    in_thread(run)


class Clock:
    """An even clock that goes on when the test says so."""

    now_s = 0.0

    def __call__(self):
        return self.now_s


def in_loop_with_clock(scenario):
    """Run an async test whose bus goes by the clock it is handed."""

    async def run():
        clock = Clock()
        bus = LiveBus(asyncio.get_running_loop(), most=2, now_s=clock)
        await asyncio.wait_for(scenario(bus, clock), 5)

    in_thread(run)


def pulse(number):
    return [StreamFrame(b"beat", number)]


async def heard(follower, number):
    return [await follower.next(1) for _ in range(number)]


def test_all_who_follow_a_run_hear_of_it_in_order_and_nobody_else_does():
    async def scenario(bus):
        with (
            bus.following("r1", "Ada", "a") as ada,
            bus.following("r1", "Ben", "b") as ben,
            bus.following("r2", "Cy", "c") as cy,
        ):
            for number in range(3):
                bus.publish("r1", pulse(number))
            assert await heard(ada, 3) == await heard(ben, 3) == [pulse(n) for n in range(3)]
            with pytest.raises(TimeoutError):
                await cy.next(0.01)

    in_loop(scenario)


def test_who_waited_in_vain_hears_what_comes_later():
    async def scenario(bus):
        with bus.following("r1", "Ada", "a") as ada:
            for number in range(2):
                with pytest.raises(TimeoutError):
                    await ada.next(0.01)
                bus.publish("r1", pulse(number))
                assert await ada.next(1) == pulse(number)

    in_loop(scenario)


def test_who_went_away_while_waiting_is_told_nothing_and_harms_nobody():
    async def scenario(bus):
        with bus.following("r1", "Ada", "a") as ada, bus.following("r1", "Ben", "b") as ben:
            waits = asyncio.create_task(ada.next(60))
            await asyncio.sleep(0)
            waits.cancel()
            bus.publish("r1", pulse(1))
            assert await ben.next(1) == await ada.next(1) == pulse(1)

    in_loop(scenario)


def test_it_may_be_told_from_any_thread():
    async def scenario(bus):
        with bus.following("r1", "Ada", "a") as ada:
            thread = Thread(target=lambda: [bus.publish("r1", pulse(n)) for n in range(20)])
            thread.start()
            assert await heard(ada, 20) == [pulse(n) for n in range(20)]
            thread.join()

    in_loop(scenario)


def test_there_is_room_for_so_many_and_again_when_one_leaves():
    async def scenario(bus):
        with bus.following("r1", "Ada", "a"), bus.following("r1", "Ben", "b"):
            with bus.following("r1", "Cy", "c"):
                with pytest.raises(TooMany, match="3 devices"), bus.following("r1", "Di", "d"):
                    pass
                bus.require_room("r2")
            bus.require_room("r1")
            assert bus.names("r1") == ["Ada", "Ben"]
        assert bus.names("r1") == []

    in_loop(scenario)


def test_a_device_that_connects_again_takes_the_place_of_its_dead_connection():
    async def scenario(bus):
        with bus.following("r1", "Ada", "a") as old:
            with bus.following("r1", "Ada", "a") as new:
                assert bus.names("r1") == ["Ada"]
                bus.publish("r1", pulse(1))
                assert await new.next(1) == pulse(1)
            assert await old.next(1) is None
            assert bus.names("r1") == []

    in_loop(scenario)


def test_who_does_not_keep_up_is_let_go_of_and_the_others_hear_everything():
    async def scenario(bus):
        with bus.following("r1", "Slow", "s") as slow, bus.following("r1", "Quick", "q") as quick:
            for number in range(2 * MOST_WAITING):
                bus.publish("r1", pulse(number))
                assert await quick.next(1) == pulse(number)
            assert bus.names("r1") == ["Quick"]
            assert await slow.next(1) is None

    in_loop(scenario)


def test_all_end_when_the_run_is_closed_and_when_the_app_stops():
    async def scenario(bus):
        with bus.following("r1", "Ada", "a") as ada, bus.following("r2", "Ben", "b") as ben:
            bus.end("r1")
            assert await ada.next(1) is None
            bus.close()
            assert await ben.next(1) is None
        with bus.following("r2", "Ben", "b") as late:
            assert await late.next(1) is None

    in_loop(scenario)


def test_a_device_that_is_lost_no_longer_counts_within_15_seconds():
    async def scenario(bus, clock):
        with bus.following("r1", "Ada", "a"), bus.following("r1", "Ben", "b"):
            clock.now_s = 8.0
            bus.heard("r1", "b")
            clock.now_s = 8.0 + HEARD_WITHIN_S
            assert bus.names("r1") == ["Ben"]
            clock.now_s = 8.0 + 15.0
            assert bus.names("r1") == []

    in_loop_with_clock(scenario)


def test_who_is_heard_late_is_told_everything_and_counts_again():
    async def scenario(bus, clock):
        with bus.following("r1", "Slow", "s") as slow:
            clock.now_s = 100.0
            bus.publish("r1", pulse(1))
            assert await slow.next(1) == pulse(1)
            bus.heard("r1", "s")
            assert bus.names("r1") == ["Slow"]

    in_loop_with_clock(scenario)


def test_where_all_places_are_taken_the_longest_silent_makes_room():
    async def scenario(bus, clock):
        with bus.following("r1", "Ada", "a") as ada, bus.following("r1", "Ben", "b"):
            clock.now_s = 9.0
            bus.heard("r1", "b")
            with pytest.raises(TooMany), bus.following("r1", "Cy", "c"):
                pass
            clock.now_s = 9.0 + HEARD_WITHIN_S
            with bus.following("r1", "Cy", "c"):
                assert await ada.next(1) is None
                assert bus.names("r1") == ["Ben", "Cy"]

    in_loop_with_clock(scenario)
