"""Words said into a phone's fake microphone until they come out."""

from support.browser_voice import BEFORE, seconds

TRIES = 4


def said_until(phone, text, tmp_path, comes_out):
    """Say it, and again if it came out otherwise, as a builder would: the operations that it then made.

    Chromium's fake microphone begins its file when it is opened and drops samples on a busy machine, so the
    words may reach the app cut or broken. How well words are heard is measured elsewhere, from whole files.
    """
    others = []
    for _ in range(TRIES):
        phone.page.reload()
        phone.until_it_understands()
        before = {row["id"] for row in phone.kept("operations")}
        phone.speak(BEFORE + seconds(text, tmp_path) + 0.6)
        phone.until_gone_through()
        made = [row["operation"] for row in phone.kept("operations") if row["id"] not in before]
        made.sort(key=lambda operation: operation["number"])
        if comes_out(made):
            return made
        others.append((made, phone.said.inner_text()))
    raise AssertionError(f"{text!r} never came out as it should: {others}")
