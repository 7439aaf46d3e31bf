"""Uploads through random days: chunks, wrong ones, repeats, restarts, a full disk; against a plain model.

The law: what HEAD tells is what was acknowledged; the content is in the media exactly when all of it was,
and then it is the content.
"""

import hashlib
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from support.shops import SetClock

from plytally.store.disk import RealDisk
from plytally.store.errors import StoreFull
from plytally.store.media import MediaFolder
from plytally.web.problem import Problem
from plytally.web.uploads import Uploads


class FullDisk(RealDisk):
    """A disk that takes so many bytes more, then none; None for no end."""

    room = None

    def write(self, fd, content):
        if self.room is None:
            return super().write(fd, content)
        taken = content[: self.room]
        self.room -= len(taken)
        if not taken:
            raise OSError(28, "No space left on device")
        return super().write(fd, taken)


class UploadDays(RuleBasedStateMachine):
    @initialize(content=st.binary(min_size=1, max_size=60))
    def begin(self, content):
        self.home = tempfile.TemporaryDirectory()
        self.folder, self.disk, self.clock = Path(self.home.name), FullDisk(), SetClock()
        self.content, self.address = content, hashlib.sha256(content).hexdigest()
        self.acknowledged = 0
        self.open()
        self.id = self.uploads.create("phone", self.address, len(content)).id

    def open(self):
        self.media = MediaFolder(self.folder / "media", self.disk)
        self.uploads = Uploads(self.folder / "uploads", self.media, self.clock, self.disk)

    def upload(self):
        return self.uploads.find(self.id, "phone")

    @rule(size=st.integers(0, 25))
    def a_chunk_arrives(self, size):
        chunk = self.content[self.acknowledged : self.acknowledged + size]
        assert self.uploads.append(self.upload(), self.acknowledged, chunk) == self.acknowledged + len(chunk)
        self.acknowledged += len(chunk)

    @rule(offset=st.integers(0, 70), size=st.integers(1, 10))
    def a_chunk_arrives_for_another_offset(self, offset, size):
        if offset != self.acknowledged:
            with pytest.raises(Problem) as refusal:
                self.uploads.append(self.upload(), offset, bytes(size))
            assert refusal.value.kind == "wrong-offset"

    @rule(extra=st.integers(1, 5))
    def a_chunk_goes_beyond_the_end(self, extra):
        rest = len(self.content) - self.acknowledged
        with pytest.raises(Problem) as refusal:
            self.uploads.append(self.upload(), self.acknowledged, bytes(rest + extra))
        assert refusal.value.kind == "too-large"

    @precondition(lambda self: self.acknowledged < len(self.content))
    @rule(room=st.integers(0, 5))
    def the_disk_fills_in_the_middle_of_a_chunk(self, room):
        chunk = self.content[self.acknowledged : self.acknowledged + room + 1]
        if len(chunk) == room + 1:
            self.disk.room = room
            with pytest.raises(StoreFull):
                self.uploads.append(self.upload(), self.acknowledged, chunk)
            self.disk.room = None

    @rule()
    def the_server_restarts(self):
        self.open()

    @rule()
    def another_phone_brings_the_same(self):
        other = self.uploads.create("another phone", self.address, len(self.content))
        start = self.uploads.offset(other)
        assert self.uploads.append(other, start, self.content[start:]) == len(self.content)
        self.acknowledged_elsewhere = True

    @rule()
    def another_phone_gives_up(self):
        other = self.uploads.create("another phone", self.address, len(self.content))
        self.uploads.drop(other)

    @invariant()
    def head_tells_what_was_acknowledged(self):
        if hasattr(self, "uploads"):
            assert self.uploads.offset(self.upload()) == self.acknowledged

    @invariant()
    def the_media_hold_it_exactly_when_it_is_whole(self):
        if hasattr(self, "uploads"):
            whole = self.acknowledged == len(self.content) or hasattr(self, "acknowledged_elsewhere")
            assert (self.address in self.media) == whole
            if whole:
                assert self.media.read(self.address) == self.content

    def teardown(self):
        if hasattr(self, "home"):
            self.home.cleanup()


TestUploadDays = UploadDays.TestCase
TestUploadDays.settings = settings(max_examples=40, stateful_step_count=25, deadline=None)
