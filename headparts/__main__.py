"""``python -m headparts``: the same front door as the console script."""

from __future__ import annotations

import sys

from headparts.cli import main

if __name__ == "__main__":
    sys.exit(main())
