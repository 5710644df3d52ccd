#!/usr/bin/env python3
"""Saturation series of every refrigerant of `catalogue.py`, and the grid that tests them.

    python saturation.py             write saturation_grid.csv
    python saturation.py --table     print what each series covers and how far off it is
    python saturation.py --critical  search the blends' critical points again; write critical.csv

Needs only CoolProp (requirements.txt pins the version). `generate.py` calls `fit_all` and writes
the Rust.

How a series is made
    x = sqrt(Tc - T) takes the critical-point singularity out of the saturation line of a pure
    fluid, so that ln p is a polynomial in x to within a millikelvin. A blend's lines do not end at
    its critical point but run through it and turn at a temperature a little higher, and over a very
    wide range the middle matters more; so x may count from a temperature above Tc, the one of
    OFFSETS that serves best. CoolProp is asked at the nodes of a series far longer than needed; the
    last terms of that one show whether any state was off its neighbours. u runs over [-1, 1] between the lowest and the highest temperature, and
    the short series is interpolated at the Chebyshev nodes of u by a discrete cosine sum. The way
    back (pressure to temperature) is solved on the same polynomial, from a start found by a
    second, short series T(ln p).

Critical points of the blends
    critical.csv holds them, in which bubble and dew lines meet: both are followed up until one
    cannot be, and Newton's method on Gibbs's two conditions starts there. Every run takes one more
    step from each point; it must stand still. CoolProp's own search over all of them
    (`all_critical_points`, up to a minute a blend) gave the same within 0.1 mK for 102 predefined
    blends, and no answer for R-452C.

Why the bytes repeat
    Sums are math.fsum, series coefficients are rounded to 1e-7 (0.01 mK), critical points to 1 mK
    and 100 Pa, far coarser than the last bits in which two machines' math libraries may differ.
"""

import argparse
import csv
import io
import math
import multiprocessing
import pathlib
import sys
from dataclasses import dataclass, field

sys.dont_write_bytecode = True  # no cache directory beside the tests

import CoolProp

import estimated_pairs
from catalogue import ROWS
from oracle import (
    CRITICAL,
    LIQUID,
    VAPOUR,
    Critical,
    NotConverged,
    Oracle,
    Refused,
    is_single,
    newton,
    open_state,
)

GRID = pathlib.Path(__file__).resolve().parent / "saturation_grid.csv"
VERSION = "8.0.0"

# -70 C is 27 inHg of vacuum on R-134a, deeper than any pump-down, and still above the 200 K where
# the pseudo-pure equations end. What boils colder is followed down to 18 inHg, in steps of 5 K.
LOWEST, COLDER_BY = 203.15, 5.0
LOW_PRESSURE = 40e3
BELOW_CRITICAL = 1.0
DEGREE = 10
START_DEGREE = 12
LONG_DEGREE = 32
# Where x counts from, above the critical temperature of a blend, K; the first that is GOOD_ENOUGH,
# or the best.
OFFSETS = (0.0, 0.1, 0.3, 0.6, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 20.0)
GOOD_ENOUGH = 0.0003
LONG_OFFSET = 0.25
# What a fit may be off by, K, before a blend's range is cut at the top, and in what steps and how far.
FIT_LIMIT = 0.005
CUT, DEEPEST_CUT = 0.25, 6.0
# What the way back may start off by, K, and the library's Newton steps: their number, and the
# length after which it stops.
START_LIMIT = 1.0
STEPS, LAST_STEP = 8, 1e-4
# How far the ends reach beyond the fit, relative in pressure.
HAIR = 5e-4
# What the last terms of a long series may amount to, in kelvin, before it is printed.
ROUGH = 1e-3


@dataclass
class Fit:
    """The series of one saturation line; the fields of `Curve` in saturation.rs."""

    critical: float
    lowest: float
    highest: float
    middle: float
    half: float
    series: list
    log_middle: float = 0.0
    log_half: float = 0.0
    start: list = field(default_factory=list)
    lowest_pressure: float = 0.0
    highest_pressure: float = 0.0
    off: float = 0.0  # worst distance from the reference, K
    rough: float = 0.0  # what the last terms of the long series amount to, K

    def log_pressure(self, temperature):
        """ln(p / Pa) of the fit."""
        x = math.sqrt(self.critical - temperature)
        return evaluate(self.series, (self.middle - x) / self.half)

    def slope(self, temperature):
        """d ln p / dT, 1/K, over a hundredth of a kelvin."""
        below = max(temperature - 0.01, self.lowest)
        return (self.log_pressure(below + 0.01) - self.log_pressure(below)) / 0.01

    def exact_slope(self, temperature):
        """d ln p / dT by differences small enough for Newton's steps."""
        h = 1e-5
        low, high = max(temperature - h, self.lowest), min(temperature + h, self.highest)
        return (self.log_pressure(high) - self.log_pressure(low)) / (high - low)

    def solve(self, log):
        """The temperature of the fit at ln p, by halving."""
        low, high = self.lowest, self.highest
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.log_pressure(middle) < log else (low, middle)
        return (low + high) / 2

    def temperatures(self, count):
        """Even steps over the whole range."""
        width = (self.highest - self.lowest) / count
        return [min(self.lowest + i * width, self.highest) for i in range(count + 1)]


@dataclass
class Saturation:
    """What is known of one refrigerant; `refusal` alone where CoolProp cannot evaluate it."""

    name: str
    refusal: str | None = None
    critical_temperature: float = 0.0  # K, Pa: rounded
    critical_pressure: float = 0.0
    lowest: float = 0.0  # K
    highest: float = 0.0
    bubble: Fit | None = None
    dew: Fit | None = None  # None where there is one line
    rows: list = field(default_factory=list)  # of the grid
    estimated: str | None = None
    remarks: list = field(default_factory=list)


def chebyshev(values):
    """Series coefficients from the values at the Chebyshev nodes, in the order of `nodes`."""
    n = len(values)
    return [
        (1 if j == 0 else 2)
        * math.fsum(v * math.cos(j * math.pi * (k + 0.5) / n) for k, v in enumerate(values))
        / n
        for j in range(n)
    ]


def rounded(coefficients):
    """As they are written."""
    return [round(c, 7) for c in coefficients]


def nodes(degree):
    """Chebyshev nodes of [-1, 1]."""
    return [math.cos(math.pi * (k + 0.5) / (degree + 1)) for k in range(degree + 1)]


def evaluate(coefficients, u):
    """The series at u, by the recurrence that the library uses."""
    b1 = b2 = 0.0
    for c in reversed(coefficients[1:]):
        b1, b2 = 2 * u * b1 - b2 + c, b1
    return u * b1 - b2 + coefficients[0]


def series(log_pressure, critical, lowest, highest, degree):
    """A Fit of ln p, given as a function of the temperature; not yet rounded or finished."""
    far, near = math.sqrt(critical - lowest), math.sqrt(critical - highest)
    middle, half = (far + near) / 2, (far - near) / 2
    temperatures = [critical - (middle - half * u) ** 2 for u in nodes(degree)]
    # The first and last node may stand outside by a rounded digit.
    temperatures = [min(max(t, lowest), highest) for t in temperatures]
    values = [log_pressure(t) for t in temperatures]
    return Fit(critical, lowest, highest, middle, half, chebyshev(values))


def shorten(long, critical):
    """The short series counted from `critical`, finished, with its distance from the long one."""
    critical = round(critical, 3)
    fit = series(long.log_pressure, critical, long.lowest, long.highest, DEGREE)
    fit.series = rounded(fit.series)
    fit.rough = max(map(abs, long.series[-4:])) / min(map(long.slope, long.temperatures(50)))
    for t in fit.temperatures(400):
        slope = fit.slope(t)
        off = abs(fit.log_pressure(t) - long.log_pressure(t)) / slope if slope > 0 else math.inf
        fit.off = max(fit.off, off)
    return fit


def finish(fit):
    """Adds the way back. Raises NotConverged if the fit does not rise or the start is far off."""
    low, high = evaluate(fit.series, -1.0), evaluate(fit.series, 1.0)
    fit.log_middle, fit.log_half = round((low + high) / 2, 7), round((high - low) / 2, 7)
    logs = [fit.log_middle + fit.log_half * v for v in nodes(START_DEGREE)]
    fit.start = rounded(chebyshev([fit.solve(log) for log in logs]))
    # A hair (under 10 mK) outwards, so that a pressure at the very end of the table is inside it
    # whichever way it was rounded; the library answers with the end temperature there. Three
    # decimals where a cold line is below a few kilopascal.
    digits = 0 if math.exp(low) > 1e4 else 3
    scale = 10.0**digits
    fit.lowest_pressure = math.floor(math.exp(low) * (1 - HAIR) * scale) / scale
    fit.highest_pressure = float(math.ceil(math.exp(high) * (1 + HAIR)))
    before = -math.inf
    for t in fit.temperatures(2000):
        log = fit.log_pressure(t)
        if log <= before:
            raise NotConverged(f"the fit does not rise at {t:.2f} K")
        before = log
        back = start = evaluate(fit.start, (log - fit.log_middle) / fit.log_half)
        for _ in range(STEPS):
            at = back = min(max(back, fit.lowest), fit.highest)
            slope = fit.exact_slope(at)
            back = 1 / (1 / at - (log - fit.log_pressure(at)) / (slope * at * at))
            back = min(max(back, fit.lowest), fit.highest)
            if abs(back - at) < LAST_STEP:
                break
        if abs(start - t) > START_LIMIT or abs(back - t) > 1e-6:
            raise NotConverged(f"the way back to {t:.2f} K starts {start - t:+.3f} K off")


def limits(oracle, remarks):
    """The range wanted, K: what boils cold goes on below LOWEST, and no equation below its own end."""
    highest = math.floor((round(oracle.critical.temperature, 3) - BELOW_CRITICAL) * 100) / 100
    floor = math.ceil(oracle.floor() * 100) / 100
    lowest, dew = LOWEST, oracle.lines()[-1]
    while lowest > floor and (lowest >= highest or oracle.pressure(lowest, dew) > LOW_PRESSURE):
        lowest = round(lowest - COLDER_BY, 2)
    if floor > LOWEST:
        remarks.append(f"CoolProp's equation begins at {floor - 273.15:.2f} °C")
    lowest = max(lowest, floor)
    if beyond := oracle.begin_above(lowest):
        remarks.append(f"equations used below their range: {', '.join(beyond)}")
    return lowest, highest


def long_series(oracle, quality, lowest, highest):
    """ln p of one line by CoolProp, to its last useful digit."""
    return series(
        lambda t: math.log(oracle.pressure(t, quality)),
        round(oracle.critical.temperature, 3) + LONG_OFFSET,
        lowest,
        highest,
        LONG_DEGREE,
    )


def grid_temperatures(lowest, highest):
    """Every 7 K, off any round number, and both ends with a point just inside each."""
    inside = [
        round(lowest + 1.17 + 7.0 * i, 2) for i in range(int((highest - lowest - 1.17) / 7) + 1)
    ]
    return sorted({lowest, round(lowest + 0.05, 2), *inside, round(highest - 0.05, 2), highest})


def grid_rows(oracle, temperatures):
    """CSV rows of live values; equal bubble and dew for a pure fluid."""
    for t in temperatures:
        values = [f"{oracle.pressure(t, quality):.8g}" for quality in oracle.lines()]
        yield [oracle.row.name, f"{t:.2f}", values[0], values[-1]]


def csv_text(rows):
    """Grid rows with their heading."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["refrigerant", "temperature_K", "bubble_Pa", "dew_Pa"])
    writer.writerows(rows)
    return out.getvalue()


def grid_text(saturations):
    """saturation_grid.csv."""
    return csv_text(row for saturation in saturations for row in saturation.rows)


def fit(row):
    """Everything about the saturation of one refrigerant."""
    try:
        oracle = Oracle(row)
    except Refused as refusal:
        return Saturation(row.name, refusal=str(refusal))
    out = Saturation(row.name, estimated=estimated_pairs.remark(row.name))
    out.critical_temperature = round(oracle.critical.temperature, 3)
    out.critical_pressure = round(oracle.critical.pressure, -2)
    if oracle.is_blend:
        check_critical(oracle, out.remarks)
    out.lowest, out.highest = limits(oracle, out.remarks)
    wanted, fits = out.highest, []
    while len(fits) < len(oracle.lines()):
        found = best(oracle, oracle.lines()[len(fits)], out.lowest, out.highest)
        if found:
            fits.append(found)
            continue
        out.highest, fits = round(out.highest - CUT, 2), []
        if out.highest < wanted - DEEPEST_CUT:
            raise NotConverged(f"{row.name}: no smooth lines below {wanted} K")
    if out.highest < wanted:
        out.remarks.append(
            f"given up to {out.critical_temperature - out.highest:.2f} K under the critical point: "
            "nearer, CoolProp's lines end, turn or are not smooth"
        )
    for line in fits:
        finish(line)
        if line.rough > ROUGH:
            out.remarks.append(f"neighbouring states are {line.rough:.1e} K off a smooth line")
    out.bubble, out.dew = fits[0], fits[1] if len(fits) > 1 else None
    out.rows = list(grid_rows(oracle, grid_temperatures(out.lowest, out.highest)))
    check_rows(out, fits)
    return out


def best(oracle, quality, lowest, highest):
    """The short series of a line, from the offset that serves it best; None where the line does not
    reach `highest`, turns before it, or cannot be fitted."""
    try:
        long = long_series(oracle, quality, lowest, highest)
    except NotConverged:
        return None
    if min(map(long.slope, long.temperatures(2000))) <= 0:
        return None
    tried = []
    for offset in OFFSETS:
        tried.append(shorten(long, round(oracle.critical.temperature, 3) + offset))
        if tried[-1].off < GOOD_ENOUGH:
            break
    found = min(tried, key=lambda fit: fit.off)
    return found if found.off <= FIT_LIMIT or not oracle.is_blend else None


def check_critical(oracle, remarks):
    """Holds the committed critical point against CoolProp: one more Newton step must stand still."""
    critical = oracle.critical
    again, _ = newton(open_state(oracle.row), (critical.temperature, critical.density), 1)
    off = again.temperature - critical.temperature
    if abs(off) > 1e-3 or abs(again.pressure / critical.pressure - 1) > 1e-4:
        raise NotConverged(f"{oracle.row.name}: critical.csv is {off:+.4f} K off")


def check_rows(out, fits):
    """Holds the fits against the grid, dew against bubble, and both lines against the critical
    point: a straight line on from the last two states must come near it."""
    rows = [[float(value) for value in row[1:]] for row in out.rows]
    for t, *pressures in rows:
        if pressures[1] > pressures[0] * (1 + 2e-5):
            raise NotConverged(f"{out.name}: dew above bubble at {t} K")
        for line, pressure in zip(fits, pressures):
            line.off = max(line.off, abs(line.log_pressure(t) - math.log(pressure)) / line.slope(t))
    for t in out.bubble.temperatures(2000):
        # An azeotrope's lines touch; the fits may cross there by a fraction of a millikelvin.
        if out.dew and out.dew.log_pressure(t) > out.bubble.log_pressure(t) + 2e-5:
            raise NotConverged(f"{out.name}: the dew fit is above the bubble fit at {t:.2f} K")
    for line in fits:
        if line.off > FIT_LIMIT:
            out.remarks.append(f"the fit is {line.off:.4f} K off")
    ahead = out.critical_temperature - out.highest
    for line, name in zip(fits, ("bubble", "dew")):
        end = line.log_pressure(line.highest) + ahead * line.slope(line.highest)
        if abs(end - math.log(out.critical_pressure)) > 0.1:
            out.remarks.append(
                f"the {name} line heads {end - math.log(out.critical_pressure):+.1%} past the "
                "critical pressure"
            )


def fit_all(rows, workers=2):
    """`fit` of every row, in their order."""
    if CoolProp.__version__ != VERSION:
        sys.exit(f"CoolProp {VERSION} wanted, {CoolProp.__version__} found")
    with multiprocessing.Pool(workers) as pool:
        out = []
        for saturation in pool.imap(fit, rows):
            for remark in saturation.remarks:
                print(f"{saturation.name}: {remark}", flush=True)
            out.append(saturation)
        return out


def rust_curve(identifier, fit):
    """A Rust static holding one line."""
    return f"""#[rustfmt::skip]
static {identifier}: Curve = Curve {{
    critical: {fit.critical!r},
    lowest: {fit.lowest!r}, highest: {fit.highest!r},
    lowest_pressure: {fit.lowest_pressure!r}, highest_pressure: {fit.highest_pressure!r},
    middle: {fit.middle!r}, half: {fit.half!r},
    series: [{", ".join(map(repr, fit.series))}],
    log_middle: {fit.log_middle!r}, log_half: {fit.log_half!r},
    start: [{", ".join(map(repr, fit.start))}],
}};
"""


def table(saturations):
    """Markdown: range and worst distance of every refrigerant."""
    yield "| refrigerant | from, °C | to, °C | critical, °C | bubble off, K | dew off, K | remarks |"
    yield "|---|---|---|---|---|---|---|"
    for s in saturations:
        if s.refusal:
            yield f"| {s.name} | | | | | | refused: {s.refusal} |"
            continue
        celsius = [f"{t - 273.15:.2f}" for t in (s.lowest, s.highest, s.critical_temperature)]
        off = [f"{line.off:.4f}" if line else "" for line in (s.bubble, s.dew)]
        remarks = "; ".join([*([s.estimated] if s.estimated else []), *s.remarks])
        yield f"| {s.name} | {' | '.join(celsius)} | {' | '.join(off)} | {remarks} |"


def search_critical(row):
    """The critical point in which a blend's two lines meet.

    Both are followed up until one cannot be; Newton's method starts from their mean there.
    """
    state = open_state(row)
    top = 1.1 * state.T_reducing()
    oracle = Oracle(row, Critical(top, math.inf, math.nan))
    try:
        for t in range(round(0.8 * state.T_reducing()), math.ceil(top)):
            ends = [oracle.follow(float(t), quality) for quality in (LIQUID, VAPOUR)]
    except NotConverged:
        pass
    temperature = ends[0].temperature
    logs = [log for end in ends for log in (end.log_liquid, end.log_vapour)]
    density = math.fsum(map(math.exp, logs)) / 4
    found, last = newton(state, (temperature, density), 25)
    if last > 1e-5 or not -1 < found.temperature - temperature < 6:
        raise NotConverged(f"{row.name}: no critical point near {temperature} K, but {found}")
    return found


def write_critical():
    """critical.csv, of all blends CoolProp can mix."""
    with CRITICAL.open("w", newline="") as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(["refrigerant", "temperature_K", "pressure_Pa", "density_mol_m3"])
        for row in ROWS:
            try:
                if not is_single(row):
                    point = search_critical(row)
                    values = (
                        f"{point.temperature:.4f}",
                        f"{point.pressure:.0f}",
                        f"{point.density:.2f}",
                    )
                    writer.writerow([row.name, *values])
            except Refused as refusal:
                print(f"{row.name}: {refusal}")


def main():
    """Command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--table", action="store_true", help="print the ranges and distances")
    parser.add_argument("--critical", action="store_true", help="write critical.csv")
    arguments = parser.parse_args()
    if arguments.critical:
        return write_critical()
    saturations = fit_all(ROWS)
    if arguments.table:
        return print("\n".join(table(saturations)))
    GRID.write_text(grid_text(saturations))


if __name__ == "__main__":
    main()
