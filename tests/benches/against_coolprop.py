#!/usr/bin/env python3
"""Saturation temperature from pressure, here and in CoolProp's low-level interface, in one run.

    python against_coolprop.py

Runs `cargo bench --bench saturation` and takes its medians, then times CoolProp's AbstractState on
the same pressures, less what the call from Python costs. Prints both and their ratio.
"""

import pathlib
import re
import subprocess
import time

import CoolProp.CoolProp as CP

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
PSI = 6894.757293168
PRESSURES = [12.0 * 1.25**i * PSI for i in range(16)]
FLUIDS = {"R-134a": "R134a", "R-448A": "R448A.mix"}
UNITS = {"ns": 1.0, "µs": 1e3, "ms": 1e6}


def ours():
    """Median nanoseconds a value, by refrigerant."""
    command = ["cargo", "bench", "--bench", "saturation", "--", "dew_temperature_x16"]
    text = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout
    out = {}
    for name in FLUIDS:
        row = re.search(rf"{re.escape(name)}\s+(.*)", text).group(1)
        medians = re.findall(r"([\d.]+) (ns|µs|ms)", row)
        value, unit = medians[2]  # fastest, slowest, median, mean
        out[name] = float(value) * UNITS[unit] / len(PRESSURES)
    return out


def timed(call, seconds=2.0):
    """Nanoseconds a call, over at least so many seconds."""
    count, start = 0, time.perf_counter()
    while time.perf_counter() - start < seconds:
        for pressure in PRESSURES:
            call(pressure)
        count += len(PRESSURES)
    return (time.perf_counter() - start) / count * 1e9


def main():
    """Prints the comparison."""
    found = ours()
    for name, fluid in FLUIDS.items():
        state = CP.AbstractState("HEOS", fluid)
        state.update(CP.PQ_INPUTS, PRESSURES[0], 1)
        call = timed(lambda pressure: state.p())
        theirs = timed(lambda pressure: state.update(CP.PQ_INPUTS, pressure, 1)) - call
        print(
            f"{name}: {found[name]:.0f} ns here, {theirs / 1e3:.1f} us in CoolProp, "
            f"ratio {theirs / found[name]:.0f}"
        )


if __name__ == "__main__":
    main()
