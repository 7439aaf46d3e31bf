"""What several rooms of the tests share."""

import pytest
from support.desk_days import made_day


@pytest.fixture(scope="session")
def made(tmp_path_factory):
    """The folder of a log with the demo's day: made once, only to be read or copied."""
    return made_day(tmp_path_factory)
