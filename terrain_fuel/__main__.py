"""`python -m terrain_fuel`: the same as the command `terrain-fuel`."""

import sys

from terrain_fuel.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
