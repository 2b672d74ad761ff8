"""No page offers whoever reads it what it would refuse them: every link and button leads on."""

import pytest

from server.domain.base.standings import STANDINGS
from tests.thorough import some
from tests.web.dead_ends import walk
from tests.web.sharing.world import OUTSIDE

WHO = some((*STANDINGS, *OUTSIDE), lambda who: who not in ("coach", "judge", "stranger"))


@pytest.mark.parametrize("who", WHO)
def test_nothing_on_a_page_is_refused_to_whoever_reads_it(world, door, who):
    assert walk(world.browsers[who], door.browsers[who]) == []
