"""The desk in a real Chromium, with the keyboard alone."""

from pathlib import Path

from support.shops import PASSPHRASE

AXE = Path(__file__).parents[2] / "pwa/node_modules/axe-core/axe.min.js"
WIDE, SMALL = {"width": 1366, "height": 768}, {"width": 390, "height": 844}
SERIOUS = {"serious", "critical"}
PATIENCE_MS = 60_000


class DeskWindow:
    """One browser window at the desk's address."""

    def __init__(self, browser, shop, size=WIDE, **how):
        self.shop = shop
        self.context = browser.new_context(viewport=size, service_workers="block", **how)
        self.page = self.context.new_page()
        self.page.set_default_timeout(PATIENCE_MS)
        self.wrong = []
        self.page.on("pageerror", lambda problem: self.wrong.append(str(problem)))
        self.page.on("console", self._console)
        self.page.goto(f"{shop.url}/desk")

    def _console(self, message):
        if message.type == "error" and "Failed to load resource" not in message.text:
            self.wrong.append(message.text)

    def sign_in(self, passphrase=PASSPHRASE):
        """With the keyboard: the field has the focus when the page comes."""
        if not self.shop.inside.desk.has_passphrase:
            self.shop.inside.desk.set_passphrase(passphrase)
        self.page.locator("input[type=password]").wait_for()
        self.page.keyboard.type(passphrase)
        self.page.keyboard.press("Enter")
        self.page.locator(".desk").wait_for()
        return self

    def press(self, *keys):
        for key in keys:
            self.page.keyboard.press(key)

    def focused(self):
        """The words of what has the focus."""
        return self.page.evaluate("document.activeElement.innerText || document.activeElement.value || ''")

    def findings(self):
        """What axe-core finds, with contrast held to 7:1, as (rule, where)."""
        self.page.evaluate(AXE.read_text("utf-8"))
        found = self.page.evaluate(
            """() => axe.run(document, {
              runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "wcag2aaa", "best-practice"],
            }).then((result) => result.violations.map((each) =>
              [each.impact, each.id, each.nodes.map((node) => node.target.join(" ")).join("; ")]))"""
        )
        return [(rule, where) for impact, rule, where in found if impact in SERIOUS]

    def overflows(self):
        """Whether anything sticks out of the window sideways."""
        return self.page.evaluate(
            "document.documentElement.scrollWidth > document.documentElement.clientWidth"
        )

    def close(self):
        self.context.close()


def tab_to(desk, name, most=80):
    """Tab until what has the focus says this."""
    for _ in range(most):
        desk.press("Tab")
        if name in desk.page.evaluate(
            "(document.activeElement.labels?.[0] ?? document.activeElement).innerText ?? ''"
        ):
            return
    raise AssertionError(f"no control says {name!r}")
