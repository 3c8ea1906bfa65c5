"""`python -m terrain_fuel` and the command `terrain-fuel`: Ctrl-C is heard before anything is loaded."""

import contextlib
import os
import signal
import sys
from types import FrameType

from terrain_fuel.cli.exit_codes import EXIT_INTERRUPTED, INTERRUPTED


def run() -> int:
    """Run the command line; interrupted while it is loaded or at its end, it says so like a command."""
    heard = signal.getsignal(signal.SIGINT) is signal.default_int_handler  # not so under nohup
    if heard:
        signal.signal(signal.SIGINT, _leave)
    from terrain_fuel.cli.main import main  # takes the most of a second on a slow disk

    try:
        if heard:
            signal.signal(signal.SIGINT, signal.default_int_handler)
        return main()
    except KeyboardInterrupt:  # pressed again while the first was told of
        return EXIT_INTERRUPTED
    finally:
        if heard:
            signal.signal(signal.SIGINT, _leave)


def _leave(number: int, frame: FrameType | None) -> None:
    """End at once: nothing is under way, and no half-loaded library makes another error of it."""
    with contextlib.suppress(OSError):
        os.write(2, f"{INTERRUPTED}\n".encode())
    os._exit(EXIT_INTERRUPTED)


if __name__ == "__main__":
    sys.exit(run())
