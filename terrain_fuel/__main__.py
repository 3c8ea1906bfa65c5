"""`python -m terrain_fuel`: the same as the command `terrain-fuel`."""

import sys

from terrain_fuel.cli.main import main

sys.exit(main())
