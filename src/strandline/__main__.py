"""`python -m strandline`: the same as the command `strandline`."""

import sys

from strandline.salon.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
