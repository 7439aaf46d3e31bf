"""One shop for each test."""

import pytest
from support.desk_days import DeskPage, OwnProgram, copied
from support.shops import TestShop


@pytest.fixture
def shop(tmp_path):
    opened = TestShop(tmp_path / "data")
    yield opened
    opened.close()


@pytest.fixture
def house(made, tmp_path):
    """A shop with the demo's day."""
    opened = TestShop(copied(made, tmp_path / "data"))
    yield opened
    opened.close()


@pytest.fixture
def page(house):
    """The desk's page of days, by the local key."""
    return DeskPage(OwnProgram(house))


@pytest.fixture
def phone(shop):
    return shop.phone()
