"""What other threads hand to the loop: in order, with one waking for many, told to who waits."""

import asyncio

import pytest

from server.web.live.waking import Waking


class Counted:
    """A loop that counts how often other threads woke it."""

    def __init__(self, loop):
        self._loop = loop
        self.wakings = 0

    def __getattr__(self, name):
        return getattr(self._loop, name)

    def call_soon_threadsafe(self, *given):
        self.wakings += 1
        return self._loop.call_soon_threadsafe(*given)


def played(scenario):
    """What a scenario answers on a loop that counts."""

    async def run():
        loop = Counted(asyncio.get_running_loop())
        return await asyncio.wait_for(scenario(Waking(loop), loop), 20)

    return asyncio.run(run())


def test_much_at_once_wakes_the_loop_once_and_keeps_its_order():
    async def scenario(waking, loop):
        heard = []

        def ask():
            for number in range(50):
                waking.call(heard.append, number)

        ask()
        await asyncio.to_thread(lambda: None)
        return heard, loop.wakings

    assert played(scenario) == (list(range(50)), 1)


def test_what_comes_after_a_waking_wakes_again():
    async def scenario(waking, loop):
        heard = asyncio.Queue()
        for number in (1, 2):
            await asyncio.to_thread(waking.call, heard.put_nowait, number)
            assert await heard.get() == number
        return loop.wakings

    assert played(scenario) == 2


def test_one_that_fails_keeps_no_other_from_being_called():
    async def scenario(waking, loop):
        loop.set_exception_handler(lambda *_: None)
        heard = asyncio.Queue()
        waking.call(int, "no number")
        waking.call(heard.put_nowait, "after it")
        return await heard.get()

    assert played(scenario) == "after it"


def test_who_waits_is_told_what_another_thread_answers_or_raises():
    async def scenario(waking, _):
        asked = []
        waiting = [asyncio.ensure_future(waking.told(asked.append)) for _ in range(2)]
        await asyncio.sleep(0)
        good, bad = asked
        await asyncio.to_thread(good, "stored", None)
        await asyncio.to_thread(bad, None, ValueError("full"))
        with pytest.raises(ValueError, match="full"):
            await waiting[1]
        return await waiting[0]

    assert played(scenario) == "stored"


def test_who_went_away_keeps_no_other_from_being_told():
    async def scenario(waking, _):
        asked = []
        gone = asyncio.ensure_future(waking.told(asked.append))
        waits = asyncio.ensure_future(waking.told(asked.append))
        await asyncio.sleep(0)
        gone.cancel()
        for number, tell in enumerate(asked):
            await asyncio.to_thread(tell, number, None)
        return await waits

    assert played(scenario) == 1


def test_who_waits_on_another_loop_is_told_there():
    async def scenario(waking, loop):
        def ask(tell):
            tell("stored", None)

        told = await asyncio.to_thread(lambda: asyncio.run(waking.told(ask)))
        return told, loop.wakings

    assert played(scenario) == ("stored", 0)


def test_many_who_wait_are_told_with_one_waking(monkeypatch):
    async def scenario(*_):
        asked, wakings = [], []
        loop = asyncio.get_running_loop()
        waking = Waking(loop)
        waiting = [asyncio.ensure_future(waking.told(asked.append)) for _ in range(50)]
        await asyncio.sleep(0)
        wake = loop.call_soon_threadsafe
        with monkeypatch.context() as patched:
            patched.setattr(loop, "call_soon_threadsafe", lambda *g: wakings.append(wake(*g)))
            for number, tell in enumerate(asked):
                tell(number, None)
        return await asyncio.gather(*waiting), len(wakings)

    assert played(scenario) == (list(range(50)), 1)
