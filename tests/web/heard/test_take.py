"""A take from its captions to a run: laid against the script, looked at, decided on, accepted."""

import json
from dataclasses import replace

import pytest

from server.domain.heard.decided import FINISH
from server.store.lost.deleted import KEPT_MS
from server.store.lost.forgetting import forget_old
from server.store.runs import list_runs, load_run
from server.store.uploads.media import MediaFolder
from server.web.heard.starts import BY_HAND, StartLine, folded_words
from tests.domain.base.test_media import WEBM
from tests.factories import NOW_MS, RULES, make_events, make_routine, make_segment
from tests.spoken import captions, spoken_routine
from tests.table import table
from tests.web.conftest import app_in
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

CONTENT = WEBM + bytes(range(256)) * 8
SOUND = {"kind": "sound", "size_bytes": len(CONTENT), "lasts_ms": 60_000}


@pytest.fixture
def own(client):
    """An app with the spoken routine."""
    keep(client, spoken_routine())
    return client


def begin(client, text=None, name="take.vtt"):
    """Send captions of a take; returns its address."""
    files = {"captions": (name, captions() if text is None else text)}
    answer = client.post("/takes/of/r1", files=files)
    assert answer.status_code == 303, Page(answer).texts(".fault")
    return answer.headers["location"]


def send_sound(client, path, told):
    """Send the content in two parts; returns the state after each."""
    first = client.post(path, json=told).json()
    url = path.removesuffix("/sound") if path.endswith("/sound") else f"/api/takes/{first['id']}"
    parts = (CONTENT[:1000], CONTENT[1000:])
    sent = [client.put(f"{url}/parts/{n}", content=part).json() for n, part in enumerate(parts)]
    return [first, *sent]


def rows(client, take):
    return Page(client.get(take)).texts(".take-start a")


def runs_of(client):
    with client.app.state.database.reading() as session:
        return list_runs(session, "r1")


def run_of(client, run_id):
    with client.app.state.database.reading() as session:
        return load_run(session, run_id)


def test_captions_show_where_each_segment_starts(own):
    take = begin(own)
    assert rows(own, take) == [
        "1 Segment s1 0:00.0 took 0:14.0 on plan Likely",
        "2 Segment s2 0:14.0 took 0:17.0 on plan Sure",
        "3 Segment s3 0:31.0 took 0:14.4 0.6 s under Sure",
        "The clock stops 0:45.4 Likely",
    ]
    assert Page(own.get(take)).text("h1") == "0:45 as heard, 2 of 2 claims heard"


def test_nothing_is_a_run_before_it_is_accepted(own):
    begin(own)
    assert runs_of(own) == []
    assert "No run yet" in Page(own.get("/routines/r1/runs")).text("h1")


def test_an_accepted_take_is_a_run_with_marks_and_claims(own):
    take = begin(own)
    sent = Page(own.get(f"{take}?edit=run")).sent_by(f"{take}/run")
    answer = own.post(f"{take}/run", data=sent | {"label": "Kitchen"})
    assert answer.status_code == 303
    (line,) = runs_of(own)
    assert (line.label, line.counts, line.total_ms) == ("Kitchen", True, 45_400)
    assert line.summary.splits_ms == {"s1": 14_000, "s2": 17_000, "s3": 14_400}
    assert set(line.summary.claims.values()) == {"heard"}
    causes = {each.cause for each in run_of(own, line.id).record.events}
    assert causes == {"heard"}


def test_claims_heard_in_a_recording_are_not_said_to_be_of_those_who_watched(own):
    take = begin(own)
    run = own.post(f"{take}/run", data={"when": "2026-09-01T10:00"}).headers["location"]
    told = Page(own.get(run)).text("#remarks-made summary")
    assert told == "2 claims listened for in the recording"


def test_the_run_leads_back_to_its_take_and_can_be_undone(own):
    take = begin(own)
    run = own.post(f"{take}/run", data={"when": "2026-09-01T10:00"}).headers["location"]
    page = Page(own.get(run))
    assert [each.get("href") for each in page.all(f'a[href="{take}"]')] == [take]
    own.post(page.one("form.one-button[action$=undo]").get("action"))
    assert runs_of(own) == []
    assert Page(own.get(take)).all("#make-run")


def test_a_take_becomes_a_run_only_once(own):
    take = begin(own)
    own.post(f"{take}/run", data={"when": "2026-09-01T10:00"})
    assert own.post(f"{take}/run", data={"when": "2026-09-01T10:00"}).status_code == 409
    assert len(runs_of(own)) == 1


def test_a_run_that_was_deleted_can_be_made_again(own):
    take = begin(own)
    run = own.post(f"{take}/run", data={"when": "2026-09-01T10:00"}).headers["location"]
    own.post(f"{run.split('?')[0]}/delete")
    assert own.post(f"{take}/run", data={"when": "2026-09-01T10:00"}).status_code == 303


def test_a_date_that_cannot_be_read_stands_beside_its_field(own):
    take = begin(own)
    answer = own.post(f"{take}/run", data={"when": "yesterday", "label": "Mine"})
    page = Page(answer)
    assert answer.status_code == 422
    assert page.fault("when") == "Give the day and time of the run."
    assert page.typed("label") == "Mine"


def test_a_boundary_that_is_moved_says_so_and_makes_the_split(own):
    take = begin(own)
    page = Page(own.get(f"{take}?open=start-s2"))
    sent = page.sent_by(f"{take}/starts/s2")
    assert sent["at"] == "0:24"
    own.post(f"{take}/starts/s2", data=sent | {"at": "0:25.5"})
    assert rows(own, take)[1] == f"2 Segment s2 0:15.5 took 0:15.5 1.5 s under {BY_HAND}"
    own.post(f"{take}/run", data={"when": "2026-09-01T10:00"})
    (line,) = runs_of(own)
    assert line.summary.splits_ms["s1"] == 15_500


def test_a_moved_boundary_goes_back_to_where_it_was_heard(own):
    take = begin(own)
    own.post(f"{take}/starts/s2", data={"at": "0:25.5"})
    own.post(f"{take}/starts/s2", data={"reset": "yes"})
    assert rows(own, take)[1].endswith("Sure")


def test_a_boundary_is_put_at_the_beginning_of_a_word(own):
    take = begin(own)
    words = Page(own.get(f"{take}?open=start-s2")).all("[name=word]")
    third = next(each for each in words if each.text == "pour")
    own.post(f"{take}/starts/s2", data={"word": third.get("value"), "at": "0:24"})
    assert rows(own, take)[1].endswith(BY_HAND)


def test_a_boundary_crosses_no_other_one(own):
    take = begin(own)
    answer = own.post(f"{take}/starts/s2", data={"at": "0:50"})
    assert answer.status_code == 422
    assert Page(answer).fault("at") == "That is behind 3. Segment s3 at 0:41. Move that first."
    assert Page(answer).typed("at", f"{take}/starts/s2") == "0:50"


@pytest.mark.parametrize("at", ["", "soon", "-3", "99:00:00"])
def test_a_moment_that_is_none_is_refused_beside_its_field(own, at):
    take = begin(own)
    answer = own.post(f"{take}/starts/start", data={"at": at})
    assert answer.status_code == 422
    assert Page(answer).fault("at")


def test_the_clock_may_start_later_than_the_first_word(own):
    take = begin(own)
    own.post(f"{take}/starts/start", data={"at": "0:12"})
    own.post(f"{take}/run", data={"when": "2026-09-01T10:00"})
    (line,) = runs_of(own)
    assert (line.total_ms, line.summary.splits_ms["s1"]) == (43_400, 12_000)


def test_a_claim_that_was_left_out_counts_as_missed(own):
    take = begin(own, captions(without=("In your cup",)))
    own.post(f"{take}/run", data={"when": "2026-09-01T10:00"})
    (line,) = runs_of(own)
    assert set(line.summary.claims.values()) == {"missed"}


def test_sentences_left_out_again_and_again_are_named(own):
    for _ in range(2):
        begin(own, captions(without=("In your cup",)))
    begin(own)
    page = Page(own.get("/routines/r1/takes"))
    said = "In your cup you will find ripe pear and heather honey."
    assert page.texts(".take-pauses li") == [f"2 of 3 {said}"]


def test_what_the_person_says_of_a_claim_stands(own):
    take = begin(own, captions(without=("In your cup",)))
    key = "d1:descriptor:ripe pear"
    own.post(f"{take}/claims", data={"claim": key, "verdict": "wrong"})
    own.post(f"{take}/run", data={"when": "2026-09-01T10:00"})
    (line,) = runs_of(own)
    assert line.summary.claims[key] == "wrong"


def test_the_figures_count_the_claims_of_a_take(own):
    take = begin(own, captions(without=("In your cup",)))
    own.post(f"{take}/run", data={"when": "2026-09-01T10:00"})
    own.post(f"{begin(own)}/run", data={"when": "2026-09-02T10:00"})
    figures = Page(own.get("/routines/r1/runs?show=figures")).text("main")
    assert "1 of 2" in figures


def test_numbers_that_were_heard_are_told_apart_from_what_runs_count(client):
    routine = spoken_routine()
    last = routine.segments[-1]
    more = replace(last, said=f"{last.said} It takes twelve seconds.")
    keep(client, replace(routine, segments=(*routine.segments[:-1], more)))
    said = f"{captions()}\n00:00:46.000 --> 00:00:48.000\nIt takes twelve seconds.\n"
    page = Page(client.get(begin(client, said)))
    assert page.text("#claims") == "Claims 2 of 2 heard"
    told = page.text("#claims-heard summary")
    assert told == "3 heard, 1 of them a number, which no run counts"


def test_a_text_without_times_tells_of_claims_alone(own):
    text = " ".join(each.said for each in spoken_routine().segments)
    page = Page(own.get(begin(own, text, "talk.txt")))
    assert page.text("h1") == "Without times, 2 of 2 claims heard"
    assert any("no times" in each for each in page.texts(".notice"))
    assert page.all("#make-run") == page.all(".take-start") == []


def test_a_text_without_times_makes_no_run(own):
    take = begin(own, "ripe pear and heather honey in your cup", "talk.txt")
    assert own.post(f"{take}/run", data={"when": "2026-09-01T10:00"}).status_code == 409


def test_another_talk_is_told_plainly_and_misses_nothing(own):
    other = "WEBVTT\n\n00:01.000 --> 00:20.000\n" + "the train to the coast leaves at noon " * 9
    page = Page(own.get(begin(own, other)))
    assert page.texts(".notice")
    assert page.all(".take-claim") == []


def test_a_script_changed_since_is_told_and_can_be_taken(own):
    take = begin(own)
    own.post("/routines/r1/script", data={"said-s1": "Good evening, all of you."})
    assert any("has changed since" in each for each in Page(own.get(take)).texts(".notice"))
    own.post(f"{take}/plan")
    assert not any("has changed since" in each for each in Page(own.get(take)).texts(".notice"))


def test_a_routine_without_a_script_says_what_is_missing(client):
    keep(client, make_routine())
    assert "Write the script" in Page(client.get("/routines/r1/takes")).text("main")
    page = Page(client.get(begin(client)))
    assert page.texts(".notice")


@pytest.mark.parametrize(
    ("files", "data", "field"),
    [
        ({}, {}, "captions"),
        ({"captions": ("a.vtt", b"WEBVTT\n\n")}, {}, "captions"),
        ({"captions": ("a.vtt", b"\x00\x01\x02")}, {}, "captions"),
        ({}, {"pasted": "... ,,, !"}, "pasted"),
    ],
)
def test_words_that_are_none_are_refused_beside_their_field(own, files, data, field):
    answer = own.post("/takes/of/r1", files=files or None, data=data)
    assert answer.status_code == 422
    assert Page(answer).fault(field)


def test_pasted_text_that_is_refused_is_not_lost(own):
    page = Page(own.post("/takes/of/r1", data={"pasted": "... ,,, !"}))
    assert page.typed("pasted") == "... ,,, !"


def test_a_deleted_take_can_be_brought_back(own):
    take = begin(own)
    answer = own.post(f"{take}/delete")
    assert own.get(take).status_code == 410
    undo = Page(own.get(answer.headers["location"])).one(".notice form").get("action")
    assert own.post(undo).headers["location"] == take
    assert own.get(take).status_code == 200


def test_a_take_deleted_for_good_leaves_neither_words_nor_sound(own, tmp_path):
    (first, *_) = send_sound(own, "/api/routines/r1/takes", {"name": "a.webm", "sound": SOUND})
    take = f"/takes/{first['id']}"
    own.post(f"{take}/words", files={"captions": ("a.vtt", captions())})
    own.post(f"{take}/delete")
    assert "a.webm" in Page(own.get("/deleted")).text(".rows")
    own.post(f"{take}/forget")
    assert list((tmp_path / "recordings").iterdir()) == []
    assert Page(own.get("/deleted")).all(".row") == []
    assert own.post(f"{take}/restore").status_code == 410


def test_a_take_deleted_long_ago_goes_for_good(own, tmp_path):
    (first, *_) = send_sound(own, "/api/routines/r1/takes", {"name": "a.webm", "sound": SOUND})
    own.post(f"/takes/{first['id']}/delete")
    folder = MediaFolder(tmp_path / "recordings")
    forget_old(own.app.state.database, folder, folder, NOW_MS + KEPT_MS + 1)
    assert list((tmp_path / "recordings").iterdir()) == []


def test_sound_arrives_in_parts_and_is_played(own):
    states = send_sound(own, "/api/routines/r1/takes", {"name": "take.webm", "sound": SOUND})
    assert [each["parts"] for each in states] == [0, 1, 2]
    take = f"/takes/{states[0]['id']}"
    assert own.get(f"{take}/sound").content == CONTENT
    assert Page(own.get(take)).one("audio").get("src") == f"{take}/sound"


def test_sound_that_stopped_half_way_goes_on_with_the_same_file(own):
    told = {"name": "take.webm", "sound": SOUND}
    take = own.post("/api/routines/r1/takes", json=told).json()["id"]
    own.put(f"/api/takes/{take}/parts/0", content=CONTENT[:1000])
    assert "of the sound arrived" in Page(own.get(f"/takes/{take}")).text(".notice")
    again = own.post(f"/api/takes/{take}/sound", json=SOUND).json()
    assert again == {"parts": 1, "done": False}


@pytest.mark.parametrize(
    ("sound", "status"),
    [
        ({**SOUND, "size_bytes": 300 * 1024 * 1024}, 413),
        ({**SOUND, "size_bytes": 0}, 422),
        ({**SOUND, "lasts_ms": 5 * 3_600_000}, 422),
        ({**SOUND, "kind": "smell"}, 422),
    ],
)
def test_sound_that_is_too_much_or_none_is_refused_unsent(own, sound, status):
    answer = own.post("/api/routines/r1/takes", json={"name": "x", "sound": sound})
    assert answer.status_code == status
    assert answer.json()["error"]["message"]


def test_a_file_that_is_no_sound_is_refused_at_its_first_part(own):
    take = own.post("/api/routines/r1/takes", json={"name": "x", "sound": SOUND}).json()["id"]
    answer = own.put(f"/api/takes/{take}/parts/0", content=b"<html>" + bytes(100))
    assert answer.status_code == 422


def test_without_a_recogniser_the_page_says_how_to_get_one(own):
    (first, *_) = send_sound(own, "/api/routines/r1/takes", {"name": "a.webm", "sound": SOUND})
    page = Page(own.get(f"/takes/{first['id']}"))
    assert "./run --speech" in page.text("[aria-labelledby=find-words]")
    assert "captions are needed" in page.text("[aria-labelledby=find-words]")


@pytest.fixture
def recorded(own):
    """A run that was marked by hand, and the take of its recording with words."""
    run_id = keep_run(own, spoken_routine(), make_events({"s1": 13, "s2": 32}, total_s=46))
    told = {"id": "rec-1", "kind": "sound", "started_ms": 0, "lasts_ms": 60_000,
            "size_bytes": len(CONTENT)}  # fmt: skip
    own.post(f"/api/runs/{run_id}/recordings", json=told).raise_for_status()
    own.put("/api/recordings/rec-1/parts/0", content=CONTENT)
    take = own.post("/recordings/rec-1/take").headers["location"]
    own.post(f"{take}/words", files={"captions": ("a.vtt", captions())})
    return run_id, take


def test_a_recording_has_one_take_however_often_it_is_opened(own, recorded):
    _, take = recorded
    assert own.post("/recordings/rec-1/take").headers["location"] == take


def test_marks_by_hand_stand_beside_what_was_heard(own, recorded):
    _, take = recorded
    cells = Page(own.get(take)).texts("[aria-label='Marks by hand beside what was heard'] td")
    assert cells[:3] == ["0:13.0", "0:14.0", "1 s later"]


def test_the_marks_by_hand_win_and_get_the_claims(own, recorded):
    run_id, take = recorded
    sent = Page(own.get(f"{take}?edit=run")).sent_by(f"{take}/run")
    assert sent["times"] == "hand"
    own.post(f"{take}/run", data=sent)
    (line,) = runs_of(own)
    assert line.id == run_id
    assert line.summary.splits_ms["s1"] == 13_000
    assert set(line.summary.claims.values()) == {"heard"}


def test_claims_added_to_a_run_by_hand_can_be_taken_back(own, recorded):
    _, take = recorded
    own.post(f"{take}/run", data={"times": "hand"})
    own.post(f"{take}/run/undo")
    (line,) = runs_of(own)
    assert line.summary.claims == {}
    assert line.counts


def test_times_as_heard_leave_the_run_by_hand_out_of_the_figures(own, recorded):
    run_id, take = recorded
    own.post(f"{take}/run", data={"times": "heard", "when": "2026-09-01T10:00"})
    assert [line.id == run_id for line in runs_of(own) if not line.counts] == [True]
    own.post(f"{take}/run/undo")
    (line,) = runs_of(own)
    assert line.counts


def test_the_take_of_a_recording_is_deleted_with_it(own, recorded):
    run_id, take = recorded
    own.post(f"{take}/delete")
    assert Page(own.get(f"/runs/{run_id}")).all("audio") == []
    own.post(f"{take}/restore")
    assert Page(own.get(f"/runs/{run_id}")).all("audio")


def test_a_deleted_recording_takes_its_words_along(own, recorded):
    run_id, take = recorded
    sent = Page(own.get(f"/runs/{run_id}?edit=recording-rec-1")).sent_by("/recordings/rec-1/delete")
    assert sent["words"] == "yes"
    own.post("/recordings/rec-1/delete", data=sent)
    assert own.get(take).status_code == 410
    own.post(f"{take}/restore")
    assert Page(own.get(take)).all("audio")


def test_words_may_outlive_their_recording_and_say_so(own, recorded):
    _, take = recorded
    own.post("/recordings/rec-1/delete")
    assert "The recording was deleted" in Page(own.get(take)).text(".take-head .notice")


def test_a_recording_without_words_offers_none_to_delete(own, recorded):
    run_id, take = recorded
    assert Page(own.get("/recordings?edit=recording-rec-1")).all("[name=words]")
    own.post(f"{take}/delete")
    own.post("/recordings/rec-1/restore")
    page = Page(own.get(f"/runs/{run_id}?edit=recording-rec-1"))
    assert page.all(".recording form")
    assert page.all("[name=words]") == []


def test_segments_said_out_of_turn_are_named(own):
    heading, *cues = captions().strip().split("\n\n")
    times, said = zip(*(each.split("\n") for each in cues), strict=True)
    moved = (*said[:2], *said[4:], *said[2:4])
    mixed = [heading, *("\n".join(each) for each in zip(times, moved, strict=True))]
    page = Page(own.get(begin(own, "\n\n".join(mixed))))
    assert page.text(".take-swapped") in (
        "Said out of turn: 2. Segment s2",
        "Said out of turn: 3. Segment s3",
    )
    assert Page(own.get(begin(own))).all(".take-swapped") == []


def test_the_fold_of_a_claim_stays_open_while_it_is_decided(own):
    take = begin(own, captions(without=("In your cup",)))
    page = Page(own.get(take))
    assert page.all("#claims-missed[open]") == []
    sent = {"claim": "d1:descriptor:ripe pear", "verdict": "wrong"}
    fold = page.all("#claims-missed [name=open]")[0].get("value")
    answer = own.post(f"{take}/claims", data=sent | {"open": fold})
    assert Page(own.get(answer.headers["location"])).all("#claims-missed[open]")


def test_of_many_starts_the_guesses_stand_first(client):
    silent = tuple(make_segment(f"q{n}", 5) for n in range(4))
    routine = spoken_routine()
    keep(client, replace(routine, segments=(*routine.segments[:2], *silent, routine.segments[2])))
    page = Page(client.get(begin(client)))
    first = page.texts(".take-starts > ol .take-sure")
    assert first == ["A guess"] * 4
    assert len(page.all(".take-start")) == 8


def test_the_end_of_the_clock_is_no_segment_among_those_folded_away(client):
    unheard = (
        make_segment("w1", 5, said="Lanterns alone."),
        make_segment("w2", 5, said="Feathers."),
    )
    routine = spoken_routine()
    keep(client, replace(routine, segments=(*routine.segments, *unheard)))
    page = Page(client.get(begin(client)))
    guesses = len(page.all(".take-starts > ol .take-start"))
    folded = len(page.all(".take-starts details .take-start"))
    assert (guesses, folded) == (2, 4)
    assert page.text(".take-starts summary") == "The other 3 segments and the end, heard"


@table(
    "keys, is_all, words",
    [
        ((*"abcdefghi", FINISH), True, "All 9 segments and the end, heard"),
        (("a",), False, "The other 1 segment, heard"),
        ((FINISH,), False, "The end, heard"),
    ],
)
def test_what_is_folded_away_is_counted_by_segments(keys, is_all, words):
    lines = [StartLine(key, key, 1, key, 0, 0, "Sure", "", None, None) for key in keys]
    assert folded_words(lines, is_all=is_all) == words
    unsure = [replace(each, was_guess=True) for each in lines]
    assert folded_words(unsure, is_all=is_all) == words.removesuffix(", heard")


def test_a_run_marked_by_hand_can_be_laid_beside_captions(own):
    run_id = keep_run(own, spoken_routine(), make_events({"s1": 13, "s2": 32}, total_s=46))
    take = begin(own)
    own.post(f"{take}/beside", data={"run": run_id})
    assert "Beside the marks by hand" in Page(own.get(take)).text(".folds")


def test_a_helper_finds_no_way_from_a_run_to_what_was_said(own, recorded):
    from server.store.devices import let_in
    from server.web.frame.cookies import DEVICE

    run_id, take = recorded
    own.post(f"{take}/run", data={"times": "hand"})
    with own.app.state.database.writing() as session:
        _, token = let_in(session, "helper", "Phone", NOW_MS)
    own.cookies.clear()
    own.cookies.set(f"{DEVICE}-80", token)
    page = Page(own.get(f"/runs/{run_id}"))
    assert page.all(f'a[href="{take}"]') == []
    assert own.get(take).status_code == 403


def test_an_export_holds_no_take(own):
    begin(own)
    exported = json.loads(own.get("/routines/r1/export.json").text)
    assert set(exported) <= {"format", "version", "routine", "rules", "plans", "runs", "goal"}
    assert RULES.id == exported["rules"]["id"]


@pytest.mark.parametrize("junk", ["", "½", "nan", "1e309", "9" * 20, "-1", "\x00", "x" * 5000])
def test_whatever_is_sent_to_a_take_it_is_no_failure_of_the_app(own, junk):
    take = begin(own)
    for path, names in (
        ("/starts/s2", ("at", "word", "shown")),
        ("/claims", ("claim", "verdict")),
        ("/beside", ("run",)),
        ("/run", ("when", "label", "times")),
        ("/words", ("pasted",)),
    ):
        for name in names:
            answer = own.post(f"{take}{path}", data={name: junk, "when": "2026-09-01T10:00"})
            assert answer.status_code < 500, (path, name)
    assert own.get(take, params={"open": f"start-{junk}", "edit": junk}).status_code < 500


def test_the_takes_there_are_come_before_the_ways_in_which_fold(own):
    empty = Page(own.get("/routines/r1/takes"))
    assert (empty.all(".take-more"), len(empty.all(".take-ways"))) == ([], 1)
    begin(own)
    page = Page(own.get("/routines/r1/takes"))
    assert page.one(".take-more").get("open") is None
    refused = own.post("/takes/of/r1", files={"captions": ("x.vtt", "")}, data={"pasted": ""})
    assert Page(refused).one(".take-more").get("open") is not None


def test_an_opened_boundary_stands_alone_with_its_panel(own):
    take = begin(own)
    assert Page(own.get(take)).all(".take-claims")
    page = Page(own.get(f"{take}?open=start-s2"))
    assert (page.all(".take-claims"), len(page.all("[data-slide]"))) == ([], 1)


# What leaves with the routine, and what a browser heard


def test_words_of_takes_leave_by_choice_and_come_back_with_their_times(own, tmp_path):
    take = begin(own)
    own.post(f"{take}/starts/s2", data={"at": "0:25"})
    own.post(f"{take}/run", data={"when": "2026-09-01T10:00"})
    exported = own.get("/routines/r1/export.json?takes=yes").content
    (kept,) = json.loads(exported)["takes"]
    assert (kept["words"][0]["text"], kept["words"][0]["from_ms"]) == ("Good", 10_000)
    with app_in(tmp_path / "elsewhere") as elsewhere:
        elsewhere.post("/import", files={"file": ("r.json", exported, "application/json")})
        assert rows(elsewhere, take) == rows(own, take)
        assert "It is a run" in Page(elsewhere.get(take)).text(".notice")
        assert elsewhere.get("/routines/r1/export.json?takes=yes").content == exported


def test_takes_of_a_file_that_is_here_already_become_new_ones(own):
    take = begin(own)
    own.post(f"{take}/starts/s2", data={"at": "0:25"})
    exported = own.get("/routines/r1/export.json?takes=yes").content
    made = own.post("/import", files={"file": ("r.json", exported, "application/json")})
    second = made.headers["location"].split("/")[2]
    (line,) = Page(own.get(f"/routines/{second}/takes")).all(".take-line")
    assert line.get("href") != take
    assert rows(own, line.get("href")) == rows(own, take)


def loud_from(*onsets_s):
    """A byte for each hundredth of a second: speech of 0.8 s from each onset, else nothing."""
    loud = bytearray(6000)
    for onset_s in onsets_s:
        loud[round(onset_s * 100) : round(onset_s * 100) + 80] = bytes([220]) * 80
    return bytes(loud)


def test_starts_snap_to_what_a_browser_heard_in_a_compressed_sound(own):
    take = begin(own)
    send_sound(own, f"/api{take}/sound", SOUND)
    tape = Page(own.get(take)).one("[data-tape]")
    answer = own.put(tape.get("data-loudness"), content=loud_from(9.9, 24.2, 41.1))
    assert answer.json() == {"kept": True}
    page = Page(own.get(take))
    assert "2 Segment s2 0:14.2" in page.texts(".take-start a")[1]
    assert page.one("[data-tape]").get("data-loudness") is None


def test_no_boundary_that_a_person_set_moves_by_what_a_browser_heard(own):
    take = begin(own)
    send_sound(own, f"/api{take}/sound", SOUND)
    own.post(f"{take}/starts/s3", data={"at": "0:40"})
    before = rows(own, take)
    assert own.put(f"/api{take}/loudness", content=loud_from(24.2)).json() == {"kept": False}
    assert rows(own, take) == before


def test_what_was_left_out_comes_and_goes_with_claims_added_to_a_run_by_hand(own, recorded):
    _, take = recorded
    left_out = captions(without=["First I pour"])
    own.post(f"{take}/words", files={"captions": ("b.vtt", left_out)})
    own.post(f"{take}/run", data={"times": "hand"})
    assert "1 sentence left out" in Page(own.get(take)).text("main")
    assert "left out on" in Page(own.get("/routines/r1/learn")).text("main")
    own.post(f"{take}/run/undo")
    assert "left out on" not in Page(own.get("/routines/r1/learn")).text("main")
