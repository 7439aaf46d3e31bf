"""Files as a phone saves them, with what the phone had gone through and what it had not."""

import hashlib
import json
import zipfile

from support.devices import Device

SOUND_ID, WORDS_ID = "01a21398-70fd-7cf2-9bf8-f23ffc666c4c", "01a21398-7145-7dce-b67f-88ddfc10a972"
SOUND = b"RIFF" + bytes(range(256)) * 4
PHOTO = b"\xff\xd8\xff" + bytes(range(256)) * 8
MILLIS = 1_773_500_000_000


def operations():
    """One note and its photo."""
    phone = Device("phone-saved")
    note = phone.notes()
    photo = hashlib.sha256(PHOTO).hexdigest()
    return [note, phone.attaches(note.id, media=photo)]


def media_names():
    """The photo by its hash; the sound has none yet, since nothing tells of it."""
    return f"media/{hashlib.sha256(PHOTO).hexdigest()[:16]}-0123456789ab.jpg", "media/unsent-f23ffc666c4c.wav"


def saved_by_a_phone(path, made=None, leave_out=(), photo=PHOTO, more=()):
    """A note with its photo, a sound and written words that had not been gone through."""
    photo_name, sound_name = media_names()
    about = [
        {"file": photo_name, "id": SOUND_ID, "role": "photo", "mime": "image/jpeg", "name": "a.jpg"}
        | {"millis": MILLIS, "noted": True, "entry": None, "remark": ""},
        {"file": sound_name, "id": SOUND_ID, "role": "sound", "mime": "audio/wav", "name": ""}
        | {"millis": MILLIS, "noted": False, "entry": None, "remark": ""},
    ]
    waiting = [{"id": WORDS_ID, "text": "mixed eighty grams at four to one", "millis": MILLIS}]
    files = {
        "read-me.txt": b"all of it",
        "operations.jsonl": _lines([each.as_json() for each in made or operations()]),
        "waiting.jsonl": _lines(waiting),
        "media.jsonl": _lines(about),
        photo_name: photo,
        sound_name: SOUND,
    } | dict(more)
    with zipfile.ZipFile(path, "w") as file:
        for name, content in files.items():
            if name not in leave_out:
                file.writestr(name, content)
    return path


def _lines(rows):
    return "".join(f"{json.dumps(row)}\n" for row in rows).encode()
