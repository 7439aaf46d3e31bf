"""A phone that a push service on loopback can call, and its service worker as a test may see it.

Chromium here reaches no push service, so an init script gives the loopback service's endpoint and keys in
place of a subscription; what the service decrypted is handed to the worker by the debugging protocol.
"""

import json
import time

SUBSCRIBES = """
(() => {
  const given = %s;
  let now = null;
  const unsubscribe = async () => { now = null; return true; };
  const made = () => ({ ...given, toJSON: () => given, unsubscribe });
  PushManager.prototype.getSubscription = async () => now;
  PushManager.prototype.subscribe = async () => (now = made());
})();
"""
CLICK = """
async ([entry, action]) => {
  const shown = (await self.registration.getNotifications()).find((each) => each.data.entry === entry);
  const event = new NotificationEvent("notificationclick", { notification: shown, action });
  let done;
  Object.defineProperty(event, "waitUntil", { value: (promise) => { done = promise; } });
  self.dispatchEvent(event);
  await done.catch(() => undefined);
}
"""
CHANGED = """
async (given) => {
  PushManager.prototype.getSubscription = async () => null;
  const made = { ...given, toJSON: () => given, unsubscribe: async () => true };
  PushManager.prototype.subscribe = async () => made;
  const event = new Event("pushsubscriptionchange");
  let done;
  Object.defineProperty(event, "waitUntil", { value: (promise) => { done = promise; } });
  self.dispatchEvent(event);
  await done;
}
"""
SHOWN = """
async () => (await self.registration.getNotifications()).map((each) => ({
  title: each.title, body: each.body, tag: each.tag, silent: each.silent, data: each.data,
  actions: (each.actions ?? []).map((one) => one.title),
}))
"""


class CallablePhone:
    """Wraps a Phone of browser_phone.py."""

    def __init__(self, phone, service):
        self.phone = phone
        phone.context.add_init_script(SUBSCRIBES % json.dumps(service.subscription()))
        self.aside = phone.context.new_page()  # stays when the app's page is closed
        self.cdp = phone.context.new_cdp_session(self.aside)
        permissions = ["notifications", "audioCapture", "backgroundSync", "durableStorage"]
        self.cdp.send("Browser.grantPermissions", {"origin": phone.url, "permissions": permissions})
        self.registrations = []
        self.cdp.on(
            "ServiceWorker.workerRegistrationUpdated",
            lambda told: self.registrations.extend(told["registrations"]),
        )
        self.cdp.send("ServiceWorker.enable")
        phone.page.reload()

    def ask_to_be_called(self):
        """As the builder does, on the page Shop."""
        phone = self.phone
        phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        phone.open("Shop")
        phone.page.get_by_label("Call this phone when the app is closed").check()
        phone.page.get_by_text("This phone is called when the app is closed.").wait_for()
        phone.open("Bench")

    def close_the_app(self):
        self.phone.page.close()

    def deliver(self, message):
        """Hand a decrypted message to the service worker, which starts if it does not run."""
        scope = f"{self.phone.url}/"
        known = [each for each in self.registrations if each["scopeURL"] == scope and not each["isDeleted"]]
        told = {"origin": scope, "registrationId": known[-1]["registrationId"], "data": json.dumps(message)}
        self.cdp.send("ServiceWorker.deliverPushMessage", told)

    def worker(self, script, given=None, seconds=20):
        """Run something in the service worker; it may be on its way up."""
        end = time.monotonic() + seconds
        while True:
            for worker in self.phone.context.service_workers:
                try:
                    return worker.evaluate(script, given)
                except Exception:
                    if time.monotonic() > end:
                        raise
            assert time.monotonic() < end, "there is no service worker"
            self.aside.wait_for_timeout(100)

    def shown(self, count=1, seconds=20):
        """The notifications, once there are so many."""
        end = time.monotonic() + seconds
        while len(found := self.worker(SHOWN)) < count:
            assert time.monotonic() < end, found
            self.aside.wait_for_timeout(100)
        return found

    def click(self, entry, action=""):
        self.worker(CLICK, [entry, action])

    def subscription_changes_to(self, given):
        self.worker(CHANGED, given)
