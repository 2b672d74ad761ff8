"""A password is held against what is kept of it; why that could not be done is not kept back."""

from server.store.people.passwords import Credentials, fits, hashed

PASSWORD = "three plums on a tray"


def test_only_the_password_itself_fits_and_a_wrong_one_is_nothing_to_log(caplog):
    kept = Credentials("ada", hashed(PASSWORD))
    assert fits(kept, PASSWORD)
    assert not fits(kept, f"{PASSWORD}!")
    assert not fits(Credentials(), PASSWORD)
    assert caplog.messages == []


def test_what_is_kept_and_damaged_fits_nothing_and_is_told_in_the_log(caplog):
    assert not fits(Credentials("ada", "$argon2id$v=19$m=65536"), PASSWORD)
    (told,) = caplog.messages
    assert told.startswith("A password could not be held against what is kept:")
    assert PASSWORD not in told
