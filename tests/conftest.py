"""Settings of the whole test run."""

from __future__ import annotations

from hypothesis import settings

# These machines are shared: how long an example takes says nothing about the code.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
