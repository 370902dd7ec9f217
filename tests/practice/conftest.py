"""Puts the simulated weeks, beside the tests, where they can be imported: the folder is no package."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parent))
