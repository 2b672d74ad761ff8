"""`./run move-database`: what it says, and what it leaves alone."""

import pytest

from server.keeping.moving import move_database
from server.keeping.one_server import alone_with
from server.keeping.trouble import Trouble
from server.store.database import Database
from server.store.routines import list_routines
from tests.engines import POSTGRES, place_in
from tests.prepared import put_nothing


@pytest.fixture
def school(tmp_path, engine):
    """The address of a PostgreSQL database that has no tables yet."""
    return put_nothing(tmp_path / "school")


@pytest.mark.parametrize("engine", [POSTGRES], indirect=True)
def test_a_data_folder_is_moved_and_all_of_it_told(settings, school, tmp_path, capsys):
    data = tmp_path / "folder"
    move_database(settings, place_in(settings.data_dir), str(data))
    move_database(settings, str(data), school)
    said = capsys.readouterr().out
    assert "1 routine, 12 runs, 250 events" in said
    assert "read again from both and are equal" in said
    database = Database(school, folder=tmp_path)
    with database.reading() as session:
        assert len(list_routines(session)) == 1
    database.close()


@pytest.mark.parametrize("engine", [POSTGRES], indirect=True)
def test_a_folder_that_a_server_holds_is_not_moved(settings, school, tmp_path):
    held = tmp_path / "held"
    move_database(settings, place_in(settings.data_dir), str(held))
    with alone_with(held), pytest.raises(Trouble, match="Another Ninefifty uses"):
        move_database(settings, str(held), school)


@pytest.mark.parametrize("engine", [POSTGRES], indirect=True)
def test_a_place_that_is_no_database_is_told(settings, school, tmp_path):
    with pytest.raises(Trouble, match="There is no"):
        move_database(settings, str(tmp_path / "gone"), school)
    with pytest.raises(Trouble, match="give an address such as"):
        move_database(settings, "mysql://bar@host/bar", school)
