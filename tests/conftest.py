"""Shared by all tests."""

from __future__ import annotations

import os
import sys
from pathlib import Path

# So that every folder of tests can import the helpers beside this file.
sys.path.insert(0, str(Path(__file__).parent))

from hypothesis import HealthCheck, settings

# Machines differ and tests share cores: how long an example takes says nothing about the code.
settings.register_profile(
    "memlint", deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
# One tree has one verdict: examples are the same in every run. `MEMLINT_EXAMPLES=random` looks for new ones.
settings.register_profile("memlint-repeatable", settings.get_profile("memlint"), derandomize=True)
settings.load_profile("memlint" if os.environ.get("MEMLINT_EXAMPLES") == "random" else "memlint-repeatable")
