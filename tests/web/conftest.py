"""One shop for each test."""

import pytest
from support.shops import TestShop


@pytest.fixture
def shop(tmp_path):
    opened = TestShop(tmp_path / "data")
    yield opened
    opened.close()
