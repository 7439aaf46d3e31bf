"""Tables against RFC 4180, section 2: its own examples."""

import pytest

from plytally.schedule_table import table_rows


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        pytest.param(
            "aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]], id="RFC 4180 §2.2"
        ),
        pytest.param('"aaa","bbb","ccc"\r\n', [["aaa", "bbb", "ccc"]], id="RFC 4180 §2.5"),
        pytest.param('"aaa","b\r\nbb","ccc"\r\n', [["aaa", "b\r\nbb", "ccc"]], id="RFC 4180 §2.6"),
        pytest.param('"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]], id="RFC 4180 §2.7"),
        pytest.param(" a , b\r\n", [[" a ", " b"]], id="RFC 4180 §2.4 spaces are data"),
    ],
)
def test_cells_are_read_as_the_standard_says(text, rows):
    assert table_rows(text) == rows
