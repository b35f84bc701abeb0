"""Settings for all tests: generated examples are the same on every run, unless a longer hunt is asked for."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

settings.register_profile(
    "usual", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("hunt", max_examples=20_000, deadline=None, suppress_health_check=list(HealthCheck))
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "usual"))
