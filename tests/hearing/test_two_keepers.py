"""Two processes on one PostgreSQL database, each with its own recogniser."""

import sys
from concurrent.futures import ThreadPoolExecutor

import pytest

from server.hearing.keeper import Hearing
from server.settings import Settings
from server.store.between.posted import PostedNotices
from server.store.database import Database
from server.store.heard import jobs
from server.store.heard.takes import load_take
from tests import engines
from tests.hearing.test_keeper import keep_take, said
from tests.prepared import put_bare

WITHIN_S = 30
LISTENS_FOR_EVER = ("import sys, time", said(share=50), "time.sleep(600)")


class _Process:
    def __init__(self, place, folder, lines):
        self.database = Database(place, folder=folder)
        self.notices = PostedNotices(self.database)
        command = (sys.executable, "-c", "\n".join(lines))
        self.hearing = Hearing(
            Settings(data_dir=folder),
            self.database,
            command,
            lambda _: "",
            self.notices,
            has_again=lambda: False,
        )
        self.notices.begin()

    def take(self, take_id):
        with self.database.reading() as session:
            return load_take(session, take_id)

    def end(self):
        self.hearing.end()
        self.notices.close()
        self.database.close()


@pytest.fixture
def processes(engine, tmp_path):
    place = put_bare(tmp_path)
    words = ("import sys", said(words=[["Plum", 100, 400, 0.9]]))
    both = [_Process(place, tmp_path, lines) for lines in (LISTENS_FOR_EVER, words)]
    yield both
    for each in both:
        each.end()


def until(is_so, thread):
    while not is_so():
        assert not thread.done(), thread.result()


@pytest.mark.parametrize("engine", [engines.POSTGRES], indirect=True)
def test_what_one_process_listens_to_is_told_and_ended_by_another(processes, tmp_path):
    a, b = processes
    take_id = keep_take(a.database, tmp_path)
    with ThreadPoolExecutor(1) as pool:
        listening = pool.submit(a.hearing.listen_to_next)
        until(lambda: b.take(take_id).job_share == 50, listening)
        assert not b.hearing.listen_to_next()
        with b.database.writing() as session:
            jobs.cancel_job(session, take_id)
        b.hearing.leave(take_id)
        assert listening.result(WITHIN_S)
    assert a.take(take_id).job == ""


@pytest.mark.parametrize("engine", [engines.POSTGRES], indirect=True)
def test_a_process_without_a_recogniser_leaves_takes_to_another(processes, tmp_path):
    a, b = processes
    take_id = keep_take(a.database, tmp_path)
    a.hearing._trouble = lambda _: "No model."
    assert not a.hearing.listen_to_next()
    assert b.hearing.listen_to_next()
    assert b.take(take_id).words_from == "the recogniser"
