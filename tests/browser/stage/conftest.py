import pytest

from tests.browser.stage_page import StagePage, new_run


@pytest.fixture
def stage(page, base_url, desk):
    """The stage of a run that is yet to start."""
    return StagePage(page, base_url, new_run(desk)).open()
