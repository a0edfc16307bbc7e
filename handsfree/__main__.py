"""`python -m handsfree` is the command `handsfree`."""

import sys

from handsfree.cli import main

if __name__ == "__main__":
    sys.exit(main())
