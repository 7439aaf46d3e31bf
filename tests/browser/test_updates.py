"""A newer app on the shop computer: it waits to be asked, and never takes a page away from a recording."""

from plytally.web.app_shell import BUILT


def newer(environ, start_response, app):
    """Another service worker than the one that was built: what an update looks like to a browser."""
    if environ["PATH_INFO"] != "/sw.js":
        return None
    body = (BUILT / "sw.js").read_bytes() + b"\n// newer\n"
    headers = [("Content-Type", "text/javascript"), ("Content-Length", str(len(body)))]
    start_response("200 OK", [*headers, ("Cache-Control", "no-cache")])
    return [body]


def look_for_update(phone):
    phone.ask("navigator.serviceWorker.ready.then((r) => r.update()).then(() => true)")


def test_an_update_waits_until_the_recording_is_over_and_until_it_is_asked(shop, phones):
    phone = phones(shop.url)
    phone.pair(shop.code())
    phone.until_it_understands()
    phone.until_offline_ready()
    phone.page.evaluate("document.title = 'the page before'")
    phone.sheet.click()
    phone.page.locator(".sheet.recording").wait_for()

    shop.bend = newer
    look_for_update(phone)
    button = phone.page.get_by_role("button", name="Change to it now")
    button.wait_for()
    assert button.is_disabled()
    phone.page.wait_for_timeout(1500)
    assert phone.page.title() == "the page before"

    phone.sheet.click()
    phone.until_gone_through()
    assert phone.page.title() == "the page before"
    phone.page.get_by_role("button", name="Change to it now").click()
    phone.until("document.title !== 'the page before'")
    phone.page.locator(".sheet.ready").wait_for()
    assert phone.kept("media")[0]["stage"] == "noted"


def test_what_an_older_app_kept_reaches_the_shop_after_the_update(shop, phones):
    phone = phones(shop.url)
    phone.pair(shop.code())
    phone.until_offline_ready()
    shop.stop()
    phone.write("mixed eighty grams at four to one")
    phone.until_operations(1)
    shop.bend = newer
    shop.start()
    look_for_update(phone)
    phone.page.get_by_role("button", name="Change to it now").click()
    phone.until_all_there()
    assert len(shop.ids()) == 1
