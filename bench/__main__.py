"""Run every measurement: `python -m bench`, or `DAY=25x60s1 SECONDS=60 python -m bench`."""

import sys

from bench import bound, plan, replan, sheets, signing_up
from bench.apart import measured_apart
from bench.machine import machine


def main() -> None:
    """Print the machine, then each table."""
    sys.stdout.write(f"{machine()}\n\n")
    plan.main()
    sys.stdout.write("\n")
    bound.main()
    sys.stdout.write("\n")
    sys.stdout.flush()
    replan.main()
    sys.stdout.write("\n")
    sys.stdout.flush()
    sheets.main()
    sys.stdout.write("\n")
    sys.stdout.flush()
    measured_apart("bench.backlog")
    sys.stdout.write("\n")
    sys.stdout.flush()
    measured_apart("bench.ground")
    sys.stdout.write("\n")
    sys.stdout.flush()
    signing_up.main()


if __name__ == "__main__":
    main()
