"""A shop whose clocks call."""

import pytest
from support.reminders import Shop


@pytest.fixture
def shop(tmp_path):
    opened = Shop(tmp_path / "data")
    yield opened
    opened.log.close()
