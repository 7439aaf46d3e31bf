"""`plytally shop`: every command runs its own example, tells its working, and refuses nonsense clearly."""

import json
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from plytally.core.cards.table import CARDS
from plytally.core.shop.errors import ShopError
from plytally.failing import exit_code
from plytally.shop_commands import shop

NOTES = Path(__file__).parents[2] / "docs/shop-arithmetic.md"
SHOP_ERROR = exit_code(ShopError("a test", "nothing", "nothing"))


def run(line):
    return CliRunner().invoke(shop, shlex.split(line))


def example_of(name):
    return CARDS[name].example


@pytest.mark.parametrize("name", shop.commands)
def test_every_command_answers_its_own_example_with_formula_inputs_and_source(name):
    result = run(example_of(name))

    assert result.exit_code == 0, result.output
    for row in ("  formula: ", "  from: ", "  source: "):
        assert row in result.output


@pytest.mark.parametrize("name", shop.commands)
def test_every_command_answers_its_own_example_as_one_json_object(name):
    result = run(f"{example_of(name)} --json")

    told = json.loads(result.output)
    assert "formula" in json.dumps(told["results"])


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('thickness --plies 10 "6 oz/yd2"', "thickness of the stack: 0.1051 in (2.67 mm)"),
        ('thickness --plies 10 "6 oz/yd2" --way bagged', "thickness of the stack: 0.07883 in (2.002 mm)"),
        ('thickness --plies 10 "6 oz/yd2" --fibre-volume "35 %"', "the builder's own figure"),
        ('thickness --plies 1 "9 oz/yd2" --fibre carbon --measured "0.017 in"', "fibre volume: 39.48 %"),
        ('thickness --plies 2 "6 oz/yd2" --area "4 ft2"', "finished weight: 304 g (10.72 oz)"),
        ('own-ply --coupon "0.052 in" 5 --step "0.2 in" "0.231 in" 3', "own thickness per ply: 0.01037 in"),
        ('own-ply --coupon "0.052 in" 5 --build-up "0.080 in"', "plies for the build-up: 8"),
        ('plies-for "2 mm" "10 mil"', "build-up reached: 2.032 mm (0.08 in)"),
        ('mix 4:1 --whole "500 g"', "hardener: 100 g"),
        ('mix 4:1 --resin "400 g"', "mix with this resin: 500 g"),
        ('mix 2:1 --whole "300 mL" --by-volume', "resin: 200 mL"),
        ('mix 4:1 --area "4 ft2" --plies 3 "6 oz/yd2" --waste "20 %"', "mix for the plies: 286.5 g"),
        ('mix 4:1 --whole "500 g"', "Don't mix several batches at once"),
        ('weighed 4:1 "400 g" "104 g"', "the cup is OUT OF the 0.5 % allowed"),
        ('weighed 4:1 "400 g" "100 g"', "the cup is within the 0.5 % allowed"),
        ('ratio 100:42 "1.15 g/cm3" "0.97 g/cm3" --by-weight', "ratio by volume: 100:49.79"),
        ('time-at "90 degF" --maker "72 degF" "30 min"', "pot life at 90 degF: 15 min"),
        ('time-at "82 degF" --maker "72 degF" "30 min" --factor 3 --per "10 degF"', "10 min"),
        (
            'clock "20 h" --what cure --maker "72 degF" "24 h" --reading "0 h" "72 degF" '
            '--reading "6 h" "40 degF" --stops-below "60 degF"',
            "share of the cure used",
        ),
        ('air --elevation "5000 ft"', "standard air pressure: 24.9 inHg"),
        ('air --elevation "5000 m" --geometric', "standard air pressure: 15.96 inHg (54.05 kPa)"),
        ('air --elevation "5000 ft" --altimeter "30.92 inHg"', "the day's air pressure: 25.76 inHg"),
        ('vacuum "22 inHg" --elevation "9000 ft"', "22 inHg is not possible here"),
        ('vacuum "21 inHg" --elevation "5000 ft"', "NOT ENOUGH: 22 inHg (FAA AC 43.13-1B"),
        ('vacuum "21 inHg" --elevation "5000 ft"', "enough: 20 inHg"),
        ('drop-test --limit bag --reading "0 min" "25 inHg" --reading "1 min" "23 inHg"', "the bag FAILS"),
        (
            'drop-test --own "3 inHg" "1 min" --reading "0 min" "25 inHg" --reading "1 min" "23 inHg"',
            "PASSES",
        ),
        (
            'spacer "0.080 in" "0.001 in" --piece washer "0.070 in" 8 --piece tape "0.0045 in" 8 '
            '--clamp-takes "0.008 in"',
            "take 1 of washer and 4 of tape",
        ),
        (
            'spacer "0.080 in" "0.001 in" --piece washer "0.070 in" 8',
            "NOTHING FITS; the nearest is 1 of washer",
        ),
        (
            'spacer "0.080 in" "0.001 in" --piece shim "0.0795 in" 1 --piece tape "0.010 in" 8 --nearest',
            "take 8 of tape",
        ),
        (
            'spacer "0.040 in" "0.001 in" --piece tape "0.010 in" 8 --squeeze tape "20 %" '
            '--varies tape "0.001 in"',
            "worst case: 0.004 in",
        ),
        (
            'straight --steps --at "0 in" "0 mil" --at "10 in" "12 mil" --at "20 in" "-12 mil" '
            '--allowed "5 mil" --against highest',
            "2 spot(s) beyond 5 mil",
        ),
        ('straight --at "0 in" "0 in" --at "9 in" "0.01 in" --at "18 in" "0 in"', "minimum zone: 0.01 in"),
        (
            'hinges --hinge 1 "0 in" "0 in" --hinge 2 "30 in" "0 in" --hinge 3 "60 in" "0 in" '
            '--aft 1 "0 in" --aft 2 "0.03 in" --aft 3 "0 in"',
            "2 out of line: 0.03 in",
        ),
        (
            'balance --item skins "73 g" "8 in" --paint "2 ft2" "150 g/m2" "5 in" --lead "200 g" '
            '--limits "-1 in-lb" "1 in-lb" "the plans, page 7"',
            "OUT OF -1 in-lb to 1 in-lb (the plans, page 7)",
        ),
        ('balance --item skins "73 g" "8 in" --lead-arm "-4 in"', "balance weight: 146 g"),
        ('scale 4:1 "1 g" --tolerance "2 %"', "hardener off the ratio at worst: 4.082 %"),
        ('thickness --plies 1 "6 oz/yd2" --weighed "50 g" "50 g"', "fibre volume: 30.22 %"),
        ('own-ply --coupon "0.052 in" 5 --calculated "0.0104 in"', "own plies against the calculated: 100 %"),
        (
            'spacer "0.080 in" "0.001 in" --piece washer "0.070 in" 1 --piece tape "0.0045 in" 4 '
            '--clamp-takes "0.008 in" --as-listed',
            "all of it fits within 0.001 in",
        ),
        ('vacuum "100 mbar" --absolute', "vacuum on the gauge: 913.2 mbar (26.97 inHg)"),
        ('vacuum "22 inHg"', "pressure on the part: 10.81 psi"),
    ],
    ids=lambda text: text[:40],
)
def test_a_question_gets_its_answer(line, says):
    result = run(line)

    assert result.exit_code == 0, result.output
    assert says in result.output


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('thickness --plies 3 "6 oz"', "give areal weight with its unit, like 6 oz/yd2"),
        ("own-ply", "measure a coupon or a step first"),
        ('vacuum "22 inHg" --altimeter "22 inHg"', "weather reports carry"),
        (
            'drop-test --limit infusion --reading "0 min" "25 inHg" --reading "1 min" "24 inHg"',
            "keep reading",
        ),
        ('balance --item skins "73 g" "8 in" --lead-arm "4 in"', "ahead of the hinge the arm is negative"),
        ('mix 4:1 --whole "300 mL"', "at a ratio by weight"),
    ],
    ids=lambda text: text[:40],
)
def test_nonsense_ends_with_one_clear_line_and_its_own_exit_code(line, says):
    result = run(line)

    assert result.exit_code == SHOP_ERROR
    assert result.stderr.startswith("plytally: ")
    assert says in result.stderr
    assert "Traceback" not in result.output


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('thickness --plies 3 "six"', "write it like '0.085 in'"),
        ('mix four --whole "300 g"', "write it like 4:1"),
        ('mix 4:0 --whole "300 g"', "greater than zero"),
        ("mix 4:1", "give one of whole, resin and area"),
        ('mix 4:1 --area "4 ft2"', "how much mix on how much area, or with plies"),
        ('mix 4:1 --area "4 ft2" --plies 1 "6 oz/yd2" --by-volume', "reckoned by weight"),
        ('time-at "90 degF" --maker "72 degF" "30 min" --factor two', "'two' is not a number"),
        ('air --elevation "1 km"', "is not a unit"),
        ('air --geometric --altimeter "30 inHg"', "without an altimeter setting"),
        ('drop-test --reading "0 min" "25 inHg"', "choose one limit"),
        ('spacer "1 in" "1 mil" --piece tape "1 mil" 8 --squeeze tpae "5 %"', "names: tape"),
    ],
    ids=lambda text: text[:40],
)
def test_a_line_that_cannot_be_read_is_a_usage_error_that_shows_how(line, says):
    result = run(line)

    assert result.exit_code == 2
    assert says in result.stderr


def test_a_caution_that_answers_share_is_told_once():
    result = run('balance --item skins "73 g" "8 in" --item spar "90 g" "1 in"')

    assert result.output.count("can flutter") == 1


@pytest.mark.parametrize("name", shop.commands)
def test_every_command_is_in_the_notes(name):
    assert f"`plytally shop {name}`" in NOTES.read_text()
