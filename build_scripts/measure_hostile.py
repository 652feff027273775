"""What hostile records do: nothing. Draws them by seed, puts each through every widget and counts what should not be.

    .made/venv/bin/python build_scripts/measure_hostile.py [--records 2000] [--first 0]

An exception, a page that stumbled, a number that is none or infinite, in a value or in a sentence; and how long the
slowest answer took. Some ten records a second on one core. Not a test: tests/widgets/test_hostile.py is its short form.
"""

from __future__ import annotations

import argparse
import sys

from places import ROOT

sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "calc")]


def main() -> int:
    """Draw, ask and print."""
    from helpers.hostile import faults

    parser = argparse.ArgumentParser(description="Put hostile records through all widgets.")
    parser.add_argument("--records", type=int, default=2000)
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    asked = parser.parse_args()
    seeds = range(asked.first, asked.first + asked.records)
    count, found, slowest = 0, 0, (0.0, 0, "")
    for seed, widget, told in faults(seeds):
        count += 1
        slowest = max(slowest, (told.seconds, seed, widget))
        if told.fault:
            found += 1
            print(f"{seed} {widget}: {told.fault}", flush=True)
    print(
        f"{len(seeds)} records, {count} answers, {found} faults; slowest {slowest[0]:.2f} s ({slowest[1]} {slowest[2]})"
    )
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
