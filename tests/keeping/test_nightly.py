"""A backup a night: when it is due, what it waits for, how many are kept."""

from datetime import datetime, timedelta
from os import utime

import pytest

from server.keeping.archive import contents_of, read_archive
from server.keeping.nightly import Nightly
from server.store.copying import connected

NOW = datetime(2026, 11, 28, 9, 47)
DAY = timedelta(days=1)
ROOMY, FULL = 10**12, 10**6


def nightly(settings, free=ROOMY):
    return Nightly(settings, free=lambda _: free)


def change(settings, number=0):
    with connected(settings.database_file) as connection:
        connection.execute("UPDATE routine SET change = change + 1")


def made_at(nightly, settings, now):
    """Change something and look at that moment; the file that was made has that date."""
    change(settings)
    file = nightly.look(now)
    if file is not None:
        utime(file, (now.timestamp(), now.timestamp()))
    return file


def test_the_first_look_makes_a_whole_backup(settings):
    file = nightly(settings).look(NOW)
    assert file.name == "nightly-2026-11-28-0947.zip"
    assert "recordings/ab" in read_archive(file).files


@pytest.mark.parametrize(
    ("later", "is_due"), [(timedelta(hours=17), False), (timedelta(hours=18), True)]
)
def test_the_next_is_due_after_three_in_the_morning(settings, later, is_due):
    ours = nightly(settings)
    made_at(ours, settings, NOW)
    assert bool(made_at(ours, settings, NOW + later)) == is_due


def test_the_last_seven_are_kept(settings):
    ours = nightly(settings)
    made = [made_at(ours, settings, NOW + DAY * number) for number in range(9)]
    assert sorted(settings.backups_folder.iterdir()) == made[2:]


def test_a_clock_that_was_a_year_ahead_keeps_no_backup_from_being_made(settings):
    ours = nightly(settings)
    ahead = [made_at(ours, settings, NOW + DAY * (365 + number)) for number in range(7)]
    made = [made_at(ours, settings, NOW + DAY * number) for number in range(9)]
    assert None not in made
    assert sorted(settings.backups_folder.iterdir()) == made[2:] + ahead


def test_a_clock_set_back_makes_one_backup_a_night_too(settings):
    ours = nightly(settings)
    first = made_at(ours, settings, NOW)
    back = NOW - DAY * 365
    assert made_at(ours, settings, back) is not None
    assert made_at(ours, settings, back + DAY / 24) is None
    assert first.exists()


def test_while_nothing_changes_no_older_one_goes(settings):
    ours = nightly(settings)
    first = made_at(ours, settings, NOW)
    assert ours.look(NOW + DAY) is None
    assert list(settings.backups_folder.iterdir()) == [first]


def test_it_waits_while_a_run_is_marked(settings):
    with connected(settings.database_file) as connection:
        connection.execute("UPDATE event SET received_ms = ?", (NOW.timestamp() * 1000 - 60_000,))
    ours = nightly(settings)
    assert ours.look(NOW) is None
    assert ours.look(NOW + timedelta(minutes=15)) is not None


def test_recordings_stay_out_where_room_is_short(settings):
    with (settings.recordings_folder / "large").open("wb") as file:
        file.truncate(10**8)
    ours = nightly(settings, free=5 * 10**8)
    assert contents_of(ours.look(NOW)).folders == ("music", "https")
    assert ours.last().leaves_out == "recordings: the disk has no room for 10 copies of them"


def test_a_full_disk_is_told_until_the_next_goes_well(settings):
    ours = nightly(settings, free=FULL)
    assert ours.look(NOW) is None
    assert "the disk is too full" in ours.trouble
    ours._free = lambda _: ROOMY
    assert ours.look(NOW) is not None
    assert ours.trouble is None


def test_trouble_is_over_once_another_process_has_made_the_backup(settings):
    ours, other = nightly(settings, free=FULL), nightly(settings)
    ours.look(NOW)
    made_at(other, settings, NOW)
    assert ours.trouble
    assert ours.look(NOW) is None
    assert ours.trouble is None


def test_a_damaged_database_takes_no_good_copy_away(settings):
    ours = nightly(settings)
    good = made_at(ours, settings, NOW)
    settings.database_file.write_bytes(settings.database_file.read_bytes()[:-20_000])
    assert ours.look(NOW + DAY) is None
    assert "damaged" in ours.trouble or "malformed" in ours.trouble
    assert read_archive(good).files
