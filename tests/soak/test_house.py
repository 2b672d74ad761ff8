"""What the ledger of the soak with people takes for true; `python -m tests.soak --people`."""

import asyncio

import pytest

from tests.soak.house import House
from tests.soak.ledger import Ledger, Standings


@pytest.mark.thorough
def test_while_people_share_and_take_back_nobody_reads_what_is_not_theirs(tmp_path):
    with House(tmp_path) as house:
        assert [house.play(seed, 20) for seed in (1, 2)] == [[], []]
    assert house.asked.keys() == {"shown", "refused"}
    assert house.did["303"]


def test_while_a_change_is_under_way_both_what_was_and_what_is_to_be_may_be_shown():
    async def scenario():
        ledger, seen = Ledger(Standings({"r1": {"Bea": "owner"}}, {})), []

        async def send():
            with ledger.looking("Eli") as begun_meanwhile:
                seen.append("read" in begun_meanwhile["r1"])
            return False

        def mutate(after):
            after.shares["r1"]["Eli"] = "viewer"

        with ledger.looking("Eli") as begun_before:
            await ledger.change(["r1"], mutate, send)
            seen.append("read" in begun_before["r1"])
        with ledger.looking("Eli") as begun_after:
            seen.append("read" in begun_after["r1"])
        assert seen == [True, True, False]

    asyncio.run(scenario())


def test_what_nobody_else_owns_becomes_the_admins_when_an_account_is_ended():
    standings = Standings({"r1": {"Bea": "owner"}, "r2": {"Bea": "owner", "Cleo": "owner"}}, {})
    standings.end("Bea", "Ada")
    assert (standings.owners("r1"), standings.owners("r2")) == ({"Ada"}, {"Cleo"})
