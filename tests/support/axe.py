"""What axe-core finds on a page, and how large a target must be."""

from pathlib import Path

AXE = Path(__file__).parents[2] / "pwa/node_modules/axe-core/axe.min.js"
GLOVE = 75.6  # CSS pixels in 20 mm: 96 to the inch
FINGER = 44
SERIOUS = {"serious", "critical"}


def serious(page):
    """The serious of what axe-core finds."""
    return [(rule, where) for impact, rule, where in _found(page) if impact in SERIOUS]


def wanting(page):
    """What axe-core finds but for trifles, and a page that has not just one heading of the first order."""
    found = [(rule, where) for impact, rule, where in _found(page) if impact in SERIOUS | {"moderate"}]
    headings = page.locator("h1").all_inner_texts()
    return found if len(headings) == 1 else [*found, ("h1", str(headings))]


def _found(page):
    """What axe-core finds, with contrast held to 7:1 (WCAG 2.2, 1.4.6), as (impact, rule, where)."""
    page.evaluate(AXE.read_text("utf-8"))
    return page.evaluate(
        """() => axe.run(document, {
          runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "wcag2aaa", "best-practice"],
        }).then((result) => result.violations.map((each) =>
          [each.impact, each.id, each.nodes.map((node) => node.target.join(" ")).join("; ")]))"""
    )
