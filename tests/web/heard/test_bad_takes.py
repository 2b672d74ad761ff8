"""Takes that tell little: each has a page that says so plainly, and none makes a false run."""

import json
from dataclasses import replace

import pytest

from server.domain.heard.probe import SecondThought
from server.store.heard import jobs
from server.store.heard.takes import set_words
from tests.factories import NOW_MS, make_segment
from tests.spoken import SAID, captions, spoken_routine
from tests.web.heard.test_take import SOUND, begin, rows, runs_of, send_sound
from tests.web.html import Page
from tests.web.shelf import keep

KEY = "d1:descriptor:ripe pear"


@pytest.fixture
def own(client, monkeypatch):
    """An app with the spoken routine, in which nothing is really listened to."""
    keep(client, spoken_routine())
    monkeypatch.setattr(client.app.state.hearing.begun(), "look", lambda: None)
    return client


def cue(from_s, until_s, text):
    begin, end = (f"00:{at_s // 60:02}:{at_s % 60:02}.000" for at_s in (from_s, until_s))
    return f"{begin} --> {end}\n{text}\n\n"


def later(text, by_min):
    """The same captions so many minutes later."""
    return text.replace("WEBVTT\n\n", "").replace("00:00:", f"00:{by_min:02}:")


CUES = {
    "half a run": (captions(without=["In your cup", "Please take", "Thank you"]), "breaks off"),
    "the end of a run": (
        captions(without=["Good evening", "Everything", "First I pour"]),
        "begins only in",
    ),
    "a file cut off": (captions()[: len(captions()) // 2], "breaks off"),
    "two routines": (captions() + later(captions(), 3), "more than once"),
    "another language": (
        "WEBVTT\n\n" + cue(1, 20, "guten abend und willkommen in der küche am fluss " * 4),
        "not those of this routine",
    ),
    "somebody else's talk": (
        "WEBVTT\n\n" + cue(1, 30, "the train to the coast leaves at noon from platform nine " * 6),
        "not those of this routine",
    ),
    "a talk drowned in music": (
        "WEBVTT\n\n" + cue(1, 9, "[Music]") + cue(9, 12, "oh yeah oh yeah oh"),
        "not those of this routine",
    ),
}


@pytest.mark.parametrize("kind", CUES)
def test_a_take_that_tells_little_says_so_on_its_page(own, kind):
    text, words = CUES[kind]
    page = Page(own.get(begin(own, text)))
    assert any(words in each for each in page.texts(".notice")), page.texts(".notice")
    assert page.text("h1")


def made_run(client, take):
    """The line of the run that is made of a take as its form offers it."""
    sent = Page(client.get(f"{take}?edit=run")).sent_by(f"{take}/run")
    assert client.post(f"{take}/run", data=sent).status_code == 303
    (line,) = runs_of(client)
    return line


def test_half_a_run_becomes_one_that_was_broken_off(own):
    take = begin(own, CUES["half a run"][0])
    assert "broken off" in Page(own.get(f"{take}?edit=run")).text("main")
    line = made_run(own, take)
    assert (line.status, line.counts) == ("abandoned", False)


def test_a_segment_of_which_nothing_was_heard_took_no_time_at_all(own):
    line = next(row for row in rows(own, begin(own, CUES["half a run"][0])) if "Segment s3" in row)
    assert line.endswith("not heard A guess")


def test_who_sets_where_the_clock_stops_says_that_it_was_finished(own):
    take = begin(own, CUES["half a run"][0])
    own.post(f"{take}/starts/finish", data={"at": "0:40"})
    assert "broken off" not in Page(own.get(f"{take}?edit=run")).text("main")
    assert made_run(own, take).status == "finished"


def test_a_run_without_its_beginning_is_left_out_of_the_figures(own):
    take = begin(own, CUES["the end of a run"][0])
    assert "left out of the figures" in Page(own.get(f"{take}?edit=run")).text("main")
    assert not made_run(own, take).counts


@pytest.fixture
def with_silence(client):
    """A take of a routine in whose second segment nothing is said; its address."""
    routine = spoken_routine()
    first, *others = routine.segments
    keep(client, replace(routine, segments=(first, make_segment("quiet", 5.0), *others)))
    return begin(client)


def test_a_guess_gives_no_split_until_it_is_set(client, with_silence):
    page = Page(client.get(with_silence))
    assert "1 guess, dashed: no split until set" in page.text(".take-starts h2")
    assert set(made_run(client, with_silence).summary.splits_ms) == {"s2", "s3"}


def test_a_guess_that_is_saved_as_it_stands_is_none_any_more(client, with_silence):
    url = f"{with_silence}/starts/quiet"
    page = Page(client.get(f"{with_silence}?open=start-quiet"))
    client.post(url, data=page.sent_by(url))
    assert "guess" not in Page(client.get(with_silence)).text(".take-starts h2")
    assert set(made_run(client, with_silence).summary.splits_ms) == {"s1", "quiet", "s2", "s3"}


def test_music_alone_is_refused_beside_its_field(own):
    text = "WEBVTT\n\n" + cue(1, 90, "[Music]")
    answer = own.post("/takes/of/r1", files={"captions": ("m.vtt", text)})
    assert answer.status_code == 422
    assert Page(answer).fault("captions")


def test_silence_says_that_no_words_were_found_and_makes_no_run(own):
    take = begin(own)
    silent = json.dumps({"kind": "recognised", "timed": True, "words": []})
    with own.app.state.database.writing() as session:
        set_words(session, take.rsplit("/", 1)[1], silent, "the recogniser")
    page = Page(own.get(take))
    assert "No words were found." in page.texts(".notice")
    assert page.text("h1") == "Nothing here is of this routine"
    assert "claims heard" not in page.text("main")
    assert page.all("#make-run") == page.all(".stub-missed") == []
    assert own.post(f"{take}/run", data={"when": "2026-09-01T10:00"}).status_code == 422


MESSY = (
    "WEBVTT\n\n" + cue(10, 20, f"<b>{SAID[0]}</b>") + cue(24, 30, f"<v Ana>{SAID[1]}")
    + cue(29, 41, "<i>") + "00:00:52.000 --> 00:00:41.000\n" + SAID[2] + "\n\n"
)  # fmt: skip


def test_captions_that_overlap_run_backwards_and_carry_tags_become_a_take(own):
    take = begin(own, MESSY)
    assert "<" not in Page(own.get(take)).text("main")
    begins = [row.split(" took")[0].rsplit(" ", 1)[1] for row in rows(own, take)[:3]]
    assert begins[:2] == ["0:00.0", "0:14.0"]
    assert begins[2] >= "0:17.0"


@pytest.fixture
def missed(own, monkeypatch):
    """A take with sound in which a sentence with both claims was not heard; its address."""
    # Of several processes only one that can listen offers it, and this machine perhaps cannot.
    monkeypatch.setattr(own.app.state.hearing.begun(), "_trouble", lambda _model: "")
    take = begin(own, captions(without=["In your cup"]))
    send_sound(own, f"/api{take}/sound", SOUND)
    return take


def thought(client, take, *found):
    """Let a second listening end with these thoughts."""
    with client.app.state.database.writing() as session:
        jobs.next_job(session, "w", NOW_MS)
        jobs.end_again(session, take.rsplit("/", 1)[1], "w", found)


def test_what_was_not_heard_can_be_listened_to_again(own, missed):
    url = f"{missed}/listen/again"
    assert Page(own.get(missed)).all(f'form[action="{url}"]')
    assert own.post(url).status_code == 303
    page = Page(own.get(missed))
    assert "Listening again to what was not heard" in page.text("[data-listening]")
    assert own.get(f"{missed}/job").json()["job"] == page.one("[data-take]").get("data-job")
    assert page.one("[data-take]").get("data-job") == "waiting again"
    own.post(f"{missed}/listen/cancel")
    after = Page(own.get(missed))
    assert after.all(".take-start")
    assert after.all(f'form[action="{url}"]')


def test_what_a_second_listening_finds_is_asked_of_the_person(own, missed):
    assert Page(own.get(missed)).text("h1").endswith("0 of 2 claims heard")
    own.post(f"{missed}/listen/again")
    thought(own, missed, SecondThought(KEY, 33_000, 40_000))
    page = Page(own.get(missed))
    assert "finds it perhaps: listen" in page.text(f'[id="claim-{KEY}"]')
    assert page.text("h1").endswith("0 of 2 claims heard")
    assert not page.all(f'form[action="{missed}/listen/again"]')


def test_a_take_without_sound_cannot_be_listened_to_again(own):
    take = begin(own, captions(without=["In your cup"]))
    assert not Page(own.get(take)).all(f'form[action="{take}/listen/again"]')
    assert own.post(f"{take}/listen/again").status_code == 409


def test_without_the_small_recogniser_nothing_is_offered(own, missed, monkeypatch):
    monkeypatch.setattr(own.app.state.hearing.begun(), "_has_again", lambda: False)
    assert not Page(own.get(missed)).all(f'form[action="{missed}/listen/again"]')
    assert own.post(f"{missed}/listen/again").status_code == 409
