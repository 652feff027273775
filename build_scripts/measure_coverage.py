"""How often the bands hold: made bows of known truth, read by tape and scale, and what is predicted of them.

    .made/venv/bin/python build_scripts/measure_coverage.py [--bows 200] [--first 0] [--assumed] [--fine]

For limbs that are alike and limbs that are not, with nothing more than the bow as it is, with a turn that was tried
and with a log: the share of 100 true changes that lie in the band, for each number and each kind of turn, and in
brackets the mean band over the root mean square of the errors. Every true number is drawn evenly within the half-width
that the package states for it. A bow that cannot be strung is drawn again and counted; what the package refuses is
counted too. `--assumed`: no length was measured. `--fine`: tape to 0.2 mm, scale to 0.1 lb, mark to 0.02 in.

Some four bows a second on one core. Not a test: tests/bench/test_coverage.py holds a short form of it.
"""

from __future__ import annotations

import argparse
import sys

from places import ROOT

sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "calc")]


def main() -> int:
    """Draw, ask and print."""
    from helpers.coverage import POPULATIONS, measured_coverage, table
    from helpers.made_bows import INCH, LBF, Reading

    parser = argparse.ArgumentParser(description="Measure how often the bands hold.")
    parser.add_argument("--bows", type=int, default=200)
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--assumed", action="store_true", help="no length was measured")
    parser.add_argument("--fine", action="store_true", help="read finely")
    asked = parser.parse_args()
    near = Reading(0.2e-3, 0.1 * LBF, 0.02 * INCH) if asked.fine else Reading()
    for population in POPULATIONS:
        seeds = range(asked.first, asked.first + asked.bows)
        rows = measured_coverage(population, seeds, measured=not asked.assumed, near=near)
        print(table(population, rows), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
