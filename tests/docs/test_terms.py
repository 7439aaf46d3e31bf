"""Every word that a builder meets as a name of ours has its row on the page of terms."""

import re
from pathlib import Path

import pytest

from plytally.cli import main
from plytally.core.entry import FIELDS, KINDS

ROOT = Path(__file__).parents[2]
ROWS = re.findall(r"^\| (.+?) \| [TSO] \| (.+) \|$", (ROOT / "docs/terms.md").read_text(), re.MULTILINE)
TERMS = {term.strip() for cell, _ in ROWS for term in re.split(r"[,:]", cell)}
PHONE = re.findall(r'\["\w+", "([\w ]+)"\]', (ROOT / "pwa/src/screens/app.tsx").read_text())
DESK = re.findall(r'label: "([\w ]+)"', (ROOT / "pwa/src/desk/pages.ts").read_text())
CALLED = main.all_commands()
NAMES = [*CALLED, *CALLED["shop"].commands, *KINDS, *FIELDS, *PHONE, *DESK]


@pytest.mark.parametrize("name", sorted(set(NAMES)))
def test_a_name_of_ours_is_on_the_page_of_terms(name):
    assert name in TERMS, f"add {name!r} to docs/terms.md, with where it comes from"


def test_the_tabs_and_pages_were_found():
    assert len(PHONE) >= 3
    assert len(DESK) >= 5
