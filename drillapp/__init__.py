"""drillapp: daily reading drills for strummed guitar."""

import sys

__version__ = "0.1.0"

# Read before all else, by any Python: what comes after this file would only give an older one a traceback.
if not (3, 10) <= sys.version_info[:2] <= (3, 13):
    sys.exit(
        "drillapp: Python 3.10 to 3.13 is needed, and this is "
        + ".".join(map(str, sys.version_info[:2]))
        + "; start it with one of these, such as python3.13 -m drillapp"
    )
