"""What the tests of the reports share."""

from __future__ import annotations

import sys
from pathlib import Path

# Judgements made by hand, and small projects: shared with the tests of the command line.
sys.path.insert(0, str(Path(__file__).parents[1] / "cli"))
