"""`python -m riskhelper` is the same as `riskhelper`."""

import sys

from riskhelper.cli.run import main

if __name__ == "__main__":
    sys.exit(main())
