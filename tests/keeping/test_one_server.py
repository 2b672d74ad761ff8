import pytest

from server.keeping.one_server import alone_with
from server.keeping.trouble import Trouble


def refused(folder):
    with pytest.raises(Trouble) as caught, alone_with(folder):
        pass
    return str(caught.value)


def test_a_folder_that_is_in_use_is_refused_with_the_address_it_is_used_at(tmp_path):
    with alone_with(tmp_path) as hold:
        hold.say_where("http://localhost:8000")
        assert "open http://localhost:8000, or stop that one first" in refused(tmp_path)


def test_a_folder_whose_app_is_just_starting_is_refused_too(tmp_path):
    with alone_with(tmp_path):
        assert "it is just starting; stop that one first" in refused(tmp_path)


def test_a_folder_is_free_again_once_its_app_has_ended(tmp_path):
    with alone_with(tmp_path) as hold:
        hold.say_where("http://localhost:8000")
    with alone_with(tmp_path):
        assert "just starting" in refused(tmp_path)
