"""A shop whose clocks the test sets, asked without a network; and phones and desks that ask it."""

import secrets
from dataclasses import dataclass, field

from support.devices import MORNING, Device

from plytally.store.log import BuildLog
from plytally.web.app import create_app, wired
from plytally.web.shop import Shop

PASSPHRASE = "wet layup before lunch"


class SetClock:
    """Wall time as the test sets it; the random bits are real."""

    def __init__(self, millis=MORNING):
        self.millis = millis

    def now_millis(self):
        return self.millis

    def offset_min(self):
        return 60

    def random_bits(self):
        return secrets.randbits(74)


class SetTicks:
    """Seconds that the test lets pass."""

    def __init__(self):
        self.seconds = 1000.0

    def __call__(self):
        return self.seconds


class TestShop:
    """One shop computer over a data folder; `reopen` is a restart."""

    __test__ = False

    def __init__(self, folder, disk=None, **shop):
        self.folder, self.clock, self.ticks = folder, SetClock(), SetTicks()
        self._disk, self._more = disk, shop
        self.open()

    def open(self):
        self.log = BuildLog(self.folder, self.clock, disk=self._disk)
        self.shop = Shop(self.log, clock=self.clock, ticks=self.ticks, **self._more)
        self.app = create_app(self.shop)
        self.inside = wired(self.app)

    def reopen(self):
        self.log.close()
        self.open()

    def close(self):
        self.log.close()

    @property
    def nobody(self):
        """A caller without token or cookie."""
        return self.app.test_client()

    def phone(self, device="phone-1", name="the blue one"):
        """A phone, paired the way phones are."""
        code = self.inside.codes.open()
        asked = {"code": code, "device": device, "name": name}
        answer = self.nobody.post("/api/pair", json=asked)
        assert answer.status_code == 201, answer.text
        return Phone(self, device, answer.json["token"])

    def desk(self, passphrase=PASSPHRASE, base="https://localhost"):
        """A browser that is signed in at the desk."""
        if not self.inside.desk.has_passphrase:
            self.inside.desk.set_passphrase(passphrase)
        client = self.app.test_client()
        answer = client.post("/api/desk/session", json={"passphrase": passphrase}, base_url=base)
        assert answer.status_code == 201, answer.text
        return DeskBrowser(client, answer.json["csrf"], base)

    def ids(self):
        """The ids in the log, in server order."""
        return [record.operation.id for record in self.log.journal.read()]


@dataclass
class Phone:
    """A paired phone: makes operations by its own clock, and asks with its token."""

    home: TestShop
    device: str
    token: str
    maker: Device = field(init=False)

    def __post_init__(self):
        self.maker = Device(self.device)

    @property
    def headers(self):
        return {"Authorization": f"Bearer {self.token}"}

    def ask(self, method, path, **how):
        headers = {**self.headers, **how.pop("headers", {})}
        return self.home.app.test_client().open(path, method=method, headers=headers, **how)

    def body(self, operations=(), cursor=None, **more):
        raws = [
            one if isinstance(one, dict) or not hasattr(one, "as_json") else one.as_json()
            for one in operations
        ]
        plain = {"device": self.device, "operations": raws, "cursor": cursor, "now": self.maker.now}
        return plain | more

    def sync(self, operations=(), cursor=None, **more):
        return self.ask("POST", "/api/sync", json=self.body(operations, cursor, **more))


@dataclass
class DeskBrowser:
    """A signed-in browser: sends its cookie by itself, and the token that our pages know."""

    client: object
    csrf: str
    base: str

    def ask(self, method, path, **how):
        headers = {"X-Plytally-Csrf": self.csrf, **how.pop("headers", {})}
        return self.client.open(path, method=method, headers=headers, base_url=self.base, **how)
