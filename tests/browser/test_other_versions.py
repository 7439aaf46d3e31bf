"""A shop computer that is newer or older than the phone's app: what one of them does not know is not lost."""

import io
import json

from support.devices import Device

WORDS = "mixed eighty grams at four to one"
UNKNOWN_ACT = "sketched"


def answered(app, environ):
    """What the app itself answers: status, headers, body."""
    head = []
    body = b"".join(app(environ, lambda status, headers, _=None: head.extend((status, headers))))
    return head[0], dict(head[1]), body


def newer(environ, start_response, app):
    """It says more than this app asks for, and knows acts and kinds that this app does not."""
    if environ["PATH_INFO"] != "/api/sync":
        return None
    status, headers, body = answered(app, environ)
    answer = json.loads(body)
    phone = Device("a-newer-phone")
    sketch = phone.notes().as_json() | {"act": UNKNOWN_ACT, "body": {"lines": [[1, 2], [3, 4]]}}
    odd = phone.notes({"kind": "cast", "fields": {"mould": "nose ring"}, "said": "cast it", "unused": []})
    answer["operations"] += [sketch, odd.as_json()]
    answer["received"] += [answer["server_time"]] * 2
    body = json.dumps(answer | {"weather": {"air": "dry"}}).encode()
    start_response(status, list((headers | {"Content-Length": str(len(body))}).items()))
    return [body]


def older(environ, start_response, app):
    """It does not know a field that this app sends, and refuses the request with it."""
    size = int(environ.get("CONTENT_LENGTH") or 0)
    if environ["PATH_INFO"] != "/api/sync" or size == 0:
        return None
    content = environ["wsgi.input"].read(size)
    if not json.loads(content)["operations"]:
        environ["wsgi.input"] = io.BytesIO(content)
        return app(environ, start_response)
    body = json.dumps({"title": "bad-request", "detail": "'wind' is no field of an operation"}).encode()
    head = [("Content-Type", "application/problem+json"), ("Content-Length", str(len(body)))]
    start_response("422 Unprocessable", head)
    return [body]


def test_what_a_newer_shop_computer_tells_is_kept_and_the_rest_goes_on(shop, phones):
    phone = phones(shop.url)
    shop.bend = newer
    phone.pair(shop.code())
    phone.until_it_understands()
    phone.write(WORDS)
    phone.until_all_there()
    acts = {row["operation"]["act"] for row in phone.kept("operations")}
    assert acts == {"note", UNKNOWN_ACT}
    phone.until("document.querySelector('.beside').textContent.includes('80 g')")
    assert [kind for kind, _ in shop.lines()] == ["mixed"]
    assert phone.wrong == []


def test_what_an_older_shop_computer_refuses_stays_here_and_goes_again_once_it_is_newer(shop, phones):
    phone = phones(shop.url)
    phone.pair(shop.code())
    shop.bend = older
    phone.write(WORDS)
    phone.open("Shop")
    phone.page.get_by_text("put one aside: 'wind' is no field").wait_for()
    assert [row["there"] for row in phone.kept("operations")] == [2]
    shop.bend = None
    phone.page.get_by_role("button", name="Send now").click()
    shop.until(lambda: [kind for kind, _ in shop.lines()] == ["mixed"])
    phone.until_all_there()
    assert [row["there"] for row in phone.kept("operations")] == [1]
