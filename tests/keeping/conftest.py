import pytest

from server.settings import Settings
from tests.prepared import put_furnished


@pytest.fixture
def settings(tmp_path):
    """A data folder with the demo, a track, a recording and a certificate."""
    settings = Settings(data_dir=tmp_path / "data")
    put_furnished(settings.data_dir, demo=True)
    for folder, name in (("music", "1f"), ("recordings", "ab"), ("https", "authority-key.pem")):
        (settings.data_dir / folder).mkdir()
        (settings.data_dir / folder / name).write_bytes(name.encode() * 5000)
    return settings
