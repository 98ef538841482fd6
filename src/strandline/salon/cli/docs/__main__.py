"""`python -m strandline.salon.cli.docs FOLDER` writes every page that is made from the code."""

import sys
from pathlib import Path

from strandline.salon.cli.docs.made import write_all

if __name__ == "__main__":
    write_all(Path(sys.argv[1]))
