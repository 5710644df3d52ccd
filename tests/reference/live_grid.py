#!/usr/bin/env python3
"""Writes saturation values straight from CoolProp at random temperatures, for a fresh check.

    python live_grid.py --seed 7 --out live.csv [--points 40]

Same columns as saturation_grid.csv. The seed makes a failing run repeatable.
"""

import argparse
import pathlib
import random
import sys

sys.dont_write_bytecode = True  # no cache directory beside the tests

from saturation import ROWS, Oracle, grid_rows, write_grid


def main():
    """Command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--out", type=pathlib.Path, required=True)
    parser.add_argument("--points", type=int, default=40, help="per refrigerant")
    arguments = parser.parse_args()
    random.seed(arguments.seed)
    rows = []
    for row in ROWS:
        oracle = Oracle(row)
        oracle.find_limit()
        drawn = (random.uniform(oracle.lowest, oracle.highest) for _ in range(arguments.points))
        rows += grid_rows(oracle, sorted({round(t, 2) for t in drawn}))
    with arguments.out.open("w", newline="") as stream:
        write_grid(stream, rows)
    print(f"seed {arguments.seed}: {len(rows)} points in {arguments.out}")


if __name__ == "__main__":
    main()
