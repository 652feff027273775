"""How many rounds and weighings a plan takes: carried out on made bows of known truth, read by tape and scale.

    .made/venv/bin/python build_scripts/measure_rounds.py [--bows 30] [--first 0] [--fine]

Before: weighed in every round, and planned anew from every reading. Now: as the steps ask (docs/decisions/0025). A plan
is of a pound and a half and four millimetres at most, by chance, and is given up after twelve rounds. `--fine`: tape to
0.2 mm, scale to 0.1 lb, mark to 0.02 in.

Some five bows a second on one core. Not a test: tests/bench/test_way.py holds a short form of it.
"""

from __future__ import annotations

import argparse
import sys

from places import ROOT

sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "calc")]


def main() -> int:
    """Draw, carry out and print."""
    from helpers.made_bows import INCH, LBF, Reading
    from helpers.rounds import carried_out, table

    parser = argparse.ArgumentParser(description="Measure how many rounds a plan takes.")
    parser.add_argument("--bows", type=int, default=30)
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--fine", action="store_true", help="read finely")
    asked = parser.parse_args()
    near = Reading(0.2e-3, 0.1 * LBF, 0.02 * INCH) if asked.fine else Reading()
    seeds = range(asked.first, asked.first + asked.bows)
    print(table(carried_out(seeds, now=False, near=near), carried_out(seeds, now=True, near=near)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
