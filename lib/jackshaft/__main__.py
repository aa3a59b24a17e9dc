"""The command line: check a build, make its record, refresh the notebooks."""

from __future__ import annotations

import sys

from jackshaft.cli import main

if __name__ == "__main__":
    sys.exit(main())
