"""Single-phase states of CoolProp, for testing density, enthalpy and entropy.

A state is chosen by pressure and temperature near a saturation line; its density comes from a
search of this script's own, and CoolProp gives pressure, enthalpy and entropy at that density and
temperature. So CoolProp needs no flash, and the library under test has to find the density again.
"""

import csv
import io
import math

import CoolProp.CoolProp as CP

from oracle import open_state

LIQUID, VAPOUR = 0, 1
# Kelvin above the dew point, kelvin below the bubble point.
SUPERHEATS = (0.5, 10.0, 30.0, 80.0)
SUBCOOLINGS = (0.5, 8.0, 25.0)
# Where on the saturation line, as a share of its range of temperature.
SHARES = (0.08, 0.35, 0.6, 0.85)


def density(equations, equation, temperature, pressure, phase):
    """mol/m3, by Newton's method from thin gas or from dense liquid, where it cannot overshoot."""
    gas = equation.gas_constant * temperature
    if phase == VAPOUR:
        at = pressure / gas
    else:
        below = max(0.0, 1 - temperature / equation.reducing_temperature)
        at = equation.reducing_density * max(2.2, 1.12 * (1 + 1.75 * below ** (1 / 3) + 0.75 * below))
    for _ in range(80):
        h = 1e-6 * at
        here = equations.pressure(equation, temperature, at)
        slope = (
            equations.pressure(equation, temperature, at + h)
            - equations.pressure(equation, temperature, at - h)
        ) / (2 * h)
        step = (pressure - here) / slope
        at += step
        if abs(step) < 1e-9 * at:
            return at
    raise ValueError(f"no density at {temperature} K, {pressure} Pa")


def state_row(equations, row, equation, state, phase, temperature, pressure):
    """CSV row of one state; everything but the temperature is CoolProp's."""
    temperature = round(temperature, 2)
    at = round(density(equations, equation, temperature, pressure, phase), 6)
    state.specify_phase(CP.iphase_liquid if phase == LIQUID else CP.iphase_gas)
    state.update(CP.DmolarT_INPUTS, at, temperature)
    return [
        row.name,
        ("liquid", "vapour")[phase],
        f"{temperature:.2f}",
        f"{state.p():.9g}",
        f"{state.rhomass():.8g}",
        f"{state.hmass():.3f}",
        f"{state.smass():.6f}",
    ]


def near(equations, row, equation, state, temperature, pressure, phase, off, floor):
    """The state `off` kelvin from a saturation line, at temperature and pressure on it; None where
    that is colder than `floor`."""
    away = temperature - off if phase == LIQUID else temperature + off
    if away < floor + 0.01:
        return None
    return state_row(equations, row, equation, state, phase, away, pressure)


def grid(equations, row, equation, fitted):
    """CSV rows at fixed places."""
    state = open_state(row)
    for share in SHARES:
        at = fitted.lowest + share * (fitted.highest - fitted.lowest)
        for phase, offs in ((VAPOUR, SUPERHEATS), (LIQUID, SUBCOOLINGS)):
            curve = fitted.bubble if phase == LIQUID or not fitted.dew else fitted.dew
            pressure = math.exp(curve.log_pressure(at))
            for off in offs:
                line = near(equations, row, equation, state, at, pressure, phase, off, fitted.lowest)
                if line:
                    yield line


def scattered(equations, row, equation, saturated, rng):
    """CSV rows a random distance from each of (temperature, bubble pressure, dew pressure)."""
    state = open_state(row)
    floor = min(temperature for temperature, _, _ in saturated)
    for temperature, bubble, dew in saturated:
        phase = rng.choice((LIQUID, VAPOUR))
        off = rng.uniform(0.1, 80.0 if phase == VAPOUR else 30.0)
        pressure = bubble if phase == LIQUID else dew
        line = near(equations, row, equation, state, temperature, pressure, phase, off, floor)
        if line:
            yield line


def text(rows):
    """The CSV with its heading."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        ["refrigerant", "phase", "temperature_K", "pressure_Pa", "density_kg_m3", "enthalpy_J_kg", "entropy_J_kg_K"]
    )
    writer.writerows(rows)
    return out.getvalue()
