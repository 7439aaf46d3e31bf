"""The large buttons by which an entry is built, touched in gloves."""

import contextlib

from playwright.sync_api import Error
from support import patience

GLOVE = 75.6  # CSS pixels in 20 mm: 96 to the inch


def choose(phone, label):
    """Touch a choice; on another page of choices, if need be."""
    here = phone.page.locator(".choices")
    button, others = (
        here.get_by_role("button", name=label, exact=True),
        here.get_by_role("button", name="Others"),
    )

    def there():
        if not button.count() and others.count():
            with contextlib.suppress(Error):  # it goes when the next question comes
                others.click(timeout=3000)
        return button.count()

    patience.until(there, lambda: f"{label} among {here.all_inner_texts()}")
    button.click()


def on_the_pad(phone, number, unit):
    for key in number:
        phone.page.locator(".pad").get_by_role("button", name=key, exact=True).click()
    phone.page.locator(".pad").get_by_role("button", name=unit, exact=True).click()


def fits(phone, height):
    """Nothing is smaller than a glove, and nothing lies outside the screen."""
    for button in phone.page.locator(".building button").all():
        box = button.bounding_box()
        assert min(box["width"], box["height"]) >= GLOVE, button.inner_text()
        assert box["y"] + box["height"] <= height, button.inner_text()


def begin(phone):
    phone.until_it_understands()
    phone.page.get_by_role("button", name="Write", exact=True).click()
    phone.page.get_by_role("button", name="By touch").click()
    phone.page.get_by_text("What was done?").wait_for()
