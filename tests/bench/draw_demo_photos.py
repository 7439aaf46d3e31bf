"""Draws the eight photos of demo_entries/day/: flat pictures of a bench, made by no camera.

.venv/bin/python tests/bench/draw_demo_photos.py
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

DAY = Path(__file__).parents[2] / "demo_entries/day"
SIZE = (800, 600)
BENCH, GRAIN, PAPER, INK = "#b58f60", "#a37d50", "#f4efe2", "#26241f"
GLASS, DRY, RESIN, STEEL, FOAM = "#7f9a86", "#dfe6df", "#c9a545", "#8c9399", "#cfe0ea"
Pen = ImageDraw.ImageDraw


def bench(draw: Pen) -> None:
    """The bench top, with a little grain."""
    draw.rectangle((0, 0, *SIZE), fill=BENCH)
    for row in range(14):
        y = 20 + 43 * row
        draw.line([(x, y + 5 * math.sin(x / 90 + row)) for x in range(0, 801, 20)], fill=GRAIN, width=3)


def cloth(draw: Pen, box: tuple[int, int, int, int], fill: str, step: int = 12) -> None:
    """A piece of weave, drawn as crossing lines at 45 degrees."""
    left, top, right, bottom = box
    draw.rectangle(box, fill=fill, outline=INK, width=3)
    height = bottom - top
    for start in range(left - height, right, step):
        for slope in (1, -1):
            points = [(start + d, top + d if slope > 0 else bottom - d) for d in range(0, height, 2)]
            inside = [point for point in points if left < point[0] < right]
            if len(inside) > 1:
                draw.line(inside, fill="#5f7a69" if fill == GLASS else "#b4beb4", width=1)


def tag(draw: Pen, at: tuple[int, int], text: str) -> None:
    """A paper tag with some words."""
    font = ImageFont.load_default(30)
    left, top, right, bottom = draw.textbbox(at, text, font)
    draw.rectangle((left - 14, top - 10, right + 14, bottom + 12), fill=PAPER, outline=INK, width=2)
    draw.text(at, text, INK, font)


def roll(draw: Pen) -> None:
    """A roll of dry cloth whose edge is frayed."""
    cloth(draw, (110, 150, 690, 470), DRY)
    draw.ellipse((80, 140, 160, 480), fill="#efe9da", outline=INK, width=3)
    draw.ellipse((108, 280, 132, 340), fill=INK)
    for x in range(170, 690, 9):
        draw.line((x, 470, x + (x * 7 % 13) - 6, 500 + x * 5 % 37), fill="#8f9a90", width=2)
    tag(draw, (300, 60), "BID, new roll")


def cup(draw: Pen) -> None:
    """A cup of resin on a scale."""
    draw.rounded_rectangle((190, 380, 610, 520), 24, fill=STEEL, outline=INK, width=4)
    draw.rectangle((300, 430, 500, 490), fill="#22301f")
    draw.text((326, 434), "120.0 g", "#c7e29a", ImageFont.load_default(42))
    draw.polygon([(290, 150), (510, 150), (480, 380), (320, 380)], fill="#f7f5ef", outline=INK)
    draw.polygon([(302, 240), (498, 240), (480, 378), (320, 378)], fill=RESIN)
    draw.line((430, 60, 380, 300), fill="#e0c9a0", width=14)


def spar(draw: Pen, pads: bool) -> None:
    """A spar across the bench, with the pads at its hinges or without."""
    cloth(draw, (20, 230, 780, 380), GLASS)
    for number, x in enumerate((150, 400, 650), 1):
        if pads and number == 1:
            for ply in range(4):
                inset = 7 * ply
                cloth(draw, (x - 70 + inset, 240 + inset, x + 70 - inset, 370 - inset), GLASS, 9)
        tag(draw, (x - 20, 430), f"{number}")
    tag(draw, (40, 120), "right elevator spar, fore")


def gauge(draw: Pen) -> None:
    """A vacuum gauge at 22 inches of mercury."""
    draw.ellipse((190, 70, 610, 490), fill=PAPER, outline=INK, width=10)
    font = ImageFont.load_default(34)
    for inches in range(0, 31, 5):
        angle = math.radians(225 - 9 * inches)
        x, y = 400 + 165 * math.cos(angle), 280 - 165 * math.sin(angle)
        draw.text((x - 16, y - 18), str(inches), INK, font)
    angle = math.radians(225 - 9 * 22)
    draw.line((400, 280, 400 + 130 * math.cos(angle), 280 - 130 * math.sin(angle)), fill="#8a1c12", width=9)
    draw.ellipse((384, 264, 416, 296), fill=INK)
    draw.text((356, 390), "inHg", INK, font)


def skin(draw: Pen) -> None:
    """A skin under wet cloth, with a brush on it."""
    draw.polygon([(90, 170), (720, 110), (760, 470), (60, 520)], fill=FOAM, outline=INK)
    cloth(draw, (150, 200, 660, 440), GLASS)
    draw.line((520, 380, 720, 560), fill="#7a5630", width=22)
    draw.polygon([(470, 330), (545, 360), (520, 410), (455, 390)], fill="#3a2d1d")
    tag(draw, (110, 60), "tailplane upper skin")


def sanded(draw: Pen) -> None:
    """A sanded face and the block that did it."""
    draw.rectangle((60, 140, 740, 480), fill="#b9c6ba", outline=INK, width=3)
    for row in range(30):
        draw.arc((80 + 15 * row, 160, 380 + 11 * row, 460), 200, 300, fill="#d8e0d8", width=2)
    draw.rounded_rectangle((470, 300, 700, 410), 12, fill="#8b6a43", outline=INK, width=4)
    draw.rectangle((470, 396, 700, 412), fill="#46403a")
    tag(draw, (90, 60), "180 grit, inside")


def hinge(draw: Pen) -> None:
    """A hinge bolted to a spar."""
    cloth(draw, (20, 260, 780, 420), GLASS)
    draw.polygon([(300, 420), (500, 420), (470, 180), (330, 180)], fill=STEEL, outline=INK)
    draw.ellipse((365, 130, 435, 200), fill="#d3d8db", outline=INK, width=6)
    for x in (340, 460):
        draw.regular_polygon((x, 380, 20), 6, fill="#5d646a", outline=INK)
    tag(draw, (60, 500), "left elevator spar, hinge 2")


def post(draw: Pen) -> None:
    """The rudder post upright, with a ticked tag on it."""
    cloth(draw, (330, 20, 470, 590), GLASS)
    for y in (120, 300, 480):
        draw.rectangle((300, y, 330, y + 46), fill=STEEL, outline=INK, width=3)
    tag(draw, (520, 180), "seen by")
    tag(draw, (520, 240), "the inspector")
    draw.line([(545, 330), (575, 370), (650, 290)], fill="#284f44", width=12, joint="curve")


PICTURES: dict[str, Callable[[Pen], None]] = {
    "roll": roll,
    "cup": cup,
    "pads": lambda draw: spar(draw, pads=True),
    "gauge": gauge,
    "skin": skin,
    "sanded": sanded,
    "hinge": hinge,
    "post": post,
}


def main() -> None:
    """One JPEG a picture."""
    for name, draw in PICTURES.items():
        picture = Image.new("RGB", SIZE)
        pen = ImageDraw.Draw(picture)
        bench(pen)
        draw(pen)
        picture.save(DAY / f"{name}.jpg", quality=72, optimize=True)


if __name__ == "__main__":
    main()
