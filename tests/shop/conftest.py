"""No test here asserts a wall-clock time, hypothesis's own deadline included."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
