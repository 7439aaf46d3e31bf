"""An export of a log, and a log made from an export."""

from hypothesis import strategies as st
from support.shops import SetClock

from plytally.clock import fresh_id
from plytally.core.wall import Wall
from plytally.record.content import Scope
from plytally.record.export import export
from plytally.record.reading import read_folder
from plytally.workshop.carrying import take_export
from plytally.workshop.record_copy import content_of

NOW = Wall(SetClock().millis, 60)
WHOLE = st.text(st.characters(exclude_categories=["Cs"]))


def written(folder, target, progress=None):
    reading = read_folder(folder)
    return export(reading, content_of(reading, Scope(), NOW), target, progress)


def taken(source, folder, progress=None):
    return take_export(source, folder, fresh_id, NOW, progress)


def files_in(folder):
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
