"""Scripts: what only one page needs is asked for by that page alone, and is kept for later."""

import re
from pathlib import Path

from server.web.frame.offline import files

JS = Path(__file__).resolve().parents[3] / "static" / "js"
OF_EVERY_PAGE = {"frame", "prepare/folds.js"}
"""Rooms, or single files, whose scripts every page loads."""


def loaded_with(file, known):
    """The file and whatever it imports before it can run."""
    if file in known:
        return known
    known.add(file)
    for path in re.findall(r"^import .*?[\"'](\..+?)[\"'];", file.read_text("utf-8"), re.M | re.S):
        loaded_with((file.parent / path).resolve(), known)
    return known


def test_a_page_loads_no_script_of_another_page():
    loaded = {each.relative_to(JS).as_posix() for each in loaded_with(JS / "frame/main.js", set())}
    foreign = {each for each in loaded if not {each, each.split("/")[0]} & OF_EVERY_PAGE}
    assert foreign == set()
    assert "frame/sortable.js" not in loaded


def test_what_a_page_asks_for_later_is_there_and_kept_for_when_the_server_is_away():
    rooms = JS / "frame" / "rooms.js"
    asked = re.findall(r'import\("(.+?)"\), "(\w+)"', rooms.read_text("utf-8"))
    assert len(asked) > 10
    for path, name in asked:
        file = (rooms.parent / path).resolve()
        assert re.search(rf"export (async )?function {name}\b", file.read_text("utf-8")), path
        assert f"/static/js/{file.relative_to(JS).as_posix()}" in files()
