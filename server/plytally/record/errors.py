"""What can go wrong with a record, an export or an import.

RecordError
├── NoLog            a folder that is no data folder
├── ExportRefused    an export cannot be made there
└── ImportRefused    no log can be made from that export; file, line and why are told
"""

from __future__ import annotations


class RecordError(ValueError):
    """Something about a record, an export or an import; the message says where, what and what to do."""


class NoLog(RecordError):
    """A folder that is no data folder of plytally."""


class ExportRefused(RecordError):
    """An export that cannot be made there."""


class ImportRefused(RecordError):
    """An export that no log can be made from; nothing of it was kept."""
