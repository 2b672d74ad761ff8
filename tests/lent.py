"""Apps that one test lends to the next, because to build one takes longer than most tests.

What an app knows is made when it starts, all but its door: that is made anew for each test here, as
its folder is. What it is built of is kept, the same for all: its routes and what SQLAlchemy makes
of each question to the database.
"""

import threading
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from fastapi import FastAPI
from fastapi.routing import iter_route_contexts

from server.app import create_app
from server.faults import LateFaults
from server.settings import DATABASE_NAME, Settings
from server.store import foldings
from server.store.database import Database
from server.web.frame.door import Door
from server.web.frame.layers.finding import RouteFinder

WORKERS = ("hearing", "nightly")
"""Threads of an app that end with it, but in their own time."""


class LentSettings:
    """The settings of the test that has the app just now."""

    now: Settings

    def __getattr__(self, name):
        return getattr(self.now, name)


class Lent:
    """An app over a place that leads to the folder of whoever has it."""

    def __init__(self, settings):
        self._place = Path(mkdtemp(prefix="lent-")) / "data"
        self._settings = LentSettings()
        self.give(settings)
        database = Database(self._place / DATABASE_NAME)
        self.app = create_app(self._settings, database)
        self.knows_people = settings.people

    def give(self, settings):
        self._place.unlink(missing_ok=True)
        self._place.symlink_to(settings.data_dir, target_is_directory=True)
        self._settings.now = settings


_free: list[Lent] = []


@contextmanager
def built_app(folder, demo, settings):
    """An app of the test's own, whose start brings its database up to date."""
    yield create_app(Settings(data_dir=folder, demo=demo, **settings))


@contextmanager
def lent_app(folder, demo, people=False):
    """An app with the usual settings over a folder with a new database, which is furnished."""
    settings = Settings(data_dir=folder, demo=demo, people=people)
    found = next((each for each in _free if each.knows_people == people), None)
    if found is not None:
        lent = found
        _free.remove(lent)
        lent.give(settings)
    else:
        lent = Lent(settings)
    app = lent.app
    app.state.door = Door(is_open=False, trusts_here=True, knows_people=people)
    app.state.faults = LateFaults() if people else None
    routes, others = added_to(app), set(threading.enumerate())
    yield app
    for thread in set(threading.enumerate()) - others:
        if thread.name in WORKERS:
            thread.join(timeout=10)
    app.dependency_overrides.clear()
    foldings._kept.clear()
    # To which a test added an address is no longer as the others are.
    if added_to(app) == routes:
        _free.append(lent)


def added_to(app):
    """How many routes an app has beside its rooms, which are loaded when they are asked for."""
    return sum(not hasattr(each, "original_router") for each in app.router.routes)


def with_every_room(app):
    """An app whose rooms are all loaded: for what looks at all of its routes."""
    while app.state.finder.load_next():
        pass
    return app


@cache
def addresses():
    """Method and path of every route of the app; tests that are a case for each ask before all."""
    contexts = iter_route_contexts(with_every_room(create_app(Settings(demo=False))).routes)
    return tuple(sorted((method, each.path) for each in contexts for method in each.methods or ()))


def is_loaded_for(room, path):
    """Whether a room that is not loaded yet is loaded when a path is asked for."""
    return RouteFinder(FastAPI(), [room])._waiting.places(path) == [0]
