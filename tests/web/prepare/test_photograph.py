"""The photograph of the real bar: sent, shown beside and under the plan, deleted."""

import pytest

from server.domain.base.photographs import MOST_OF_PHOTOGRAPH
from server.domain.routine.preparing import Preparation
from server.domain.routine.station import Station, Surface
from server.store.lost.deleted import KEPT_MS
from server.store.lost.forgetting import forget_old
from server.store.uploads.media import MediaFolder
from tests.domain.base.test_photographs import PLACE, exif, jpeg, segment
from tests.factories import NOW_MS, make_routine
from tests.web.html import Page
from tests.web.shelf import keep

HERE, TO = "/routines/r1/station", "/photographs/r1"
SENT = jpeg(segment(0xE1, exif(1)))


@pytest.fixture
def bar(client):
    station = Station(surfaces=(Surface("bar", "Bar"),))
    keep(client, make_routine(preparation=Preparation(station=station)))
    return client


def send(client, content=SENT):
    return client.post(TO, files={"photograph": ("bar.jpg", content, "image/jpeg")})


def shown(client):
    """The address of the photograph beside the plan."""
    return Page(client.get(HERE)).one(".station-photograph img").get("src")


def files(tmp_path):
    return [each.name for each in (tmp_path / "music").iterdir()]


def test_a_photograph_stands_beside_the_plan_without_its_place(bar, tmp_path):
    assert send(bar).status_code == 303
    answer = bar.get(shown(bar))
    assert (answer.headers["content-type"], answer.content) == ("image/jpeg", jpeg())
    assert PLACE not in (tmp_path / "music" / files(tmp_path)[0]).read_bytes()


def test_it_lies_under_the_plan_as_strongly_as_chosen(bar):
    send(bar)
    assert Page(bar.get(HERE)).all(".station-under") == []
    assert bar.post(f"{TO}/under", data={"under": "50"}).status_code == 303
    assert Page(bar.get(HERE)).one(".station-under").get("opacity") == "0.5"
    assert bar.post(f"{TO}/under", data={"under": "33"}).status_code == 422


def test_another_takes_its_place_and_a_deleted_one_leaves_no_file(bar, tmp_path):
    send(bar)
    first = shown(bar)
    send(bar)
    assert bar.get(first).status_code == 404
    assert len(files(tmp_path)) == 1
    bar.post(f"{TO}/delete")
    assert Page(bar.get(HERE)).all(".station-photograph") == []
    assert files(tmp_path) == []


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"<svg/>", "This is no photograph"),
        (SENT[:-20], "cut off or damaged"),
        (SENT + bytes(MOST_OF_PHOTOGRAPH), "may have 12 MB"),
    ],
)
def test_what_cannot_be_kept_is_told_beside_the_field(bar, tmp_path, content, told):
    answer = send(bar, content)
    assert answer.status_code == 422
    assert told in Page(answer).text(".panel")
    assert Page(answer).fault("photograph")
    assert not (tmp_path / "music").exists() or files(tmp_path) == []


def test_one_sent_to_a_routine_that_is_not_there_leaves_no_file(bar, tmp_path):
    sent = {"photograph": ("bar.jpg", SENT, "image/jpeg")}
    assert bar.post("/photographs/none", files=sent).status_code == 404
    assert files(tmp_path) == []


def test_a_routine_gone_for_good_takes_its_photograph_with_it(bar, tmp_path):
    send(bar)
    bar.post("/routines/r1/delete")
    folders = [MediaFolder(tmp_path / name) for name in ("recordings", "music")]
    forget_old(bar.app.state.database, *folders, NOW_MS + KEPT_MS + 1)
    assert files(tmp_path) == []
