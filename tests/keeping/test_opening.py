"""The database of a data folder is opened fit to serve, or it is said why not."""

import pytest

from server.keeping.opening import open_database
from server.keeping.trouble import Trouble
from server.store.copying import connected


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ("ALTER TABLE routine DROP COLUMN goal", "lacks the column routine.goal"),
        ("DROP TABLE settled_remark", "lacks the table settled_remark"),
        ("UPDATE alembic_version SET version_num = '9999'", "of a later version of the app"),
    ],
)
def test_tables_that_are_not_what_they_should_be_are_told_in_a_sentence(settings, change, told):
    with connected(settings.database_file) as connection:
        connection.execute(change)
    with pytest.raises(Trouble, match=told):
        open_database(settings)


def test_a_sound_folder_opens(settings):
    open_database(settings).close()
