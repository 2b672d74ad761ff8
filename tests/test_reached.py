"""Nothing public stands in the server that no route, command or start reaches."""

from tests import reached


def test_all_that_is_public_in_the_server_is_reached():
    assert reached.unreached() == []


def test_what_nothing_names_is_told(tmp_path, monkeypatch):
    """Also what only another unreached function names; not what a route names."""
    (tmp_path / "web").mkdir()
    (tmp_path / "web" / "pages.py").write_text(
        "@router.get('')\ndef page():\n    return used()\n\n"
        "def used(): ...\n\ndef idle():\n    return called_by_idle()\n\ndef called_by_idle(): ...\n"
    )
    monkeypatch.setattr(reached, "SERVER", tmp_path)
    assert [each.rpartition(".")[2] for each in reached.unreached()] == ["called_by_idle", "idle"]


def test_a_field_that_is_only_filled_is_told(tmp_path, monkeypatch):
    (tmp_path / "web").mkdir()
    (tmp_path / "web" / "pages.py").write_text(
        "@dataclass\nclass Shown:\n    read: int\n    untold_ml: int\n\n"
        "@router.get('')\ndef page():\n    return Shown(read=1, untold_ml=2).read\n"
    )
    monkeypatch.setattr(reached, "SERVER", tmp_path)
    assert [each.rpartition(".")[2] for each in reached.unreached()] == ["untold_ml"]
