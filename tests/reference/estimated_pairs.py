"""Mixing parameters of pairs that CoolProp lacks, estimated from the pairs it has.

A blend's equation has two fitted parameters a pair, betaT and gammaT, which scale the pair's
reducing temperature (Kunz and Wagner, J. Chem. Eng. Data 57, 3032, 2012); gammaT is 1 for the
geometric mean of the critical temperatures. Of the pairs in the catalogue's blends 22 have none.
CoolProp's own stopgaps (`apply_simple_mixing_rule`) put 1 or the arithmetic mean; tried on pairs
that do have parameters, at equal masses, those are typically off by 7 to 17 K for a hydrocarbon with
a fluorinated molecule, because such pairs all have gammaT well under 1 and many are azeotropes.

The rule here: gammaT of A with B is the mean of two means, over A with the family of B and over B
with the family of A, of the pairs fitted with these two parameters alone; betaT likewise. With no
such pair of A or B, the mean over the two families.

Three pairs are known to be otherwise (ADJUSTED): with the rule the blends' boiling points came out
1 to 3 K too warm, all the same way.

What the rule is worth is measured by `estimate_errors.py`, which writes estimated.csv.
"""

import csv
import functools
import itertools
import math
import pathlib
import statistics

import CoolProp.CoolProp as CP

TABLE = pathlib.Path(__file__).resolve().parent / "estimated.csv"

FAMILIES = {
    "hydrocarbon": "Ethane n-Propane n-Butane IsoButane n-Pentane Isopentane",
    "ether": "DimethylEther",
    "HFO": "R1234yf R1234ze(E) R1243zf R1336mzz(E) R1233zd(E)",
    "HFC": "R23 R32 R41 R125 R134a R143a R152A R161 R227EA R236EA R236FA R245fa R365MFC",
    "HCFC": "R21 R22 R123 R124 R141b R142b",
    "perfluorocarbon": "R116 R218 RC318",
}
FAMILY = {fluid: family for family, fluids in FAMILIES.items() for fluid in fluids.split()}
PARAMETERS = ("betaT", "gammaT")

# gammaT of these is set so that normal boiling and dew points come out as ASHRAE Standard 34 has
# them (from memory; listed in estimate_errors.py): the first from R-401A/B/C, R-409A/B and R-414A/B,
# whose 14 points this one number brings within 0.5 K; the second from R-402A/B; the third from
# R-429A and R-435A.
ADJUSTED = {
    ("R22", "R124"): 0.974,
    ("R125", "R22"): 0.977,
    ("DimethylEther", "R152A"): 0.976,
}


def families(pair):
    """The families of its two molecules."""
    return tuple(FAMILY[fluid] for fluid in pair)


def _ordered(first, second):
    """A pair in the order of FAMILIES: betaT turns over with it."""
    order = list(FAMILY)
    return (first, second) if order.index(first) < order.index(second) else (second, first)


def _cas(pair):
    return [CP.get_fluid_param_string(fluid, "CAS") for fluid in pair]


def _departure(pair):
    """Weight of the pair's departure function."""
    for cas in (_cas(pair), _cas(pair)[::-1]):
        try:
            return float(CP.get_mixture_binary_pair_data(*cas, "F"))
        except ValueError:
            continue
    raise ValueError(f"no pair {pair}")


@functools.cache
def fitted():
    """(betaT, gammaT) of every pair between the families that CoolProp has with these two alone."""
    out = {}
    for pair in itertools.combinations(FAMILY, 2):
        try:
            state = CP.AbstractState("HEOS", "&".join(pair))
        except ValueError:
            continue
        state.set_mole_fractions([0.5, 0.5])
        values = [
            state.get_binary_interaction_double(0, 1, name)
            for name in (*PARAMETERS, "betaV", "gammaV")
        ]
        if _departure(pair) == 0 and max(abs(v - 1) for v in values[2:]) < 1e-9:
            out[pair] = tuple(values[:2])
    return out


@functools.cache
def estimate(pair):
    """(betaT, gammaT) of a pair in the order of FAMILIES, from others than itself; None if none."""
    if pair in ADJUSTED:
        return 1.0, ADJUSTED[pair]
    kin = {p: v for p, v in fitted().items() if families(p) == families(pair) and p != pair}
    groups = [[v for p, v in kin.items() if fluid in p] for fluid in pair]
    groups = [group for group in groups if group] or [list(kin.values())]
    if not groups[0]:
        return None
    means = [[statistics.fmean(column) for column in zip(*group)] for group in groups]
    beta, gamma = (round(statistics.fmean(column), 5) for column in zip(*means))
    # Within one family neither molecule is the first.
    return (1.0 if len(set(families(pair))) == 1 else beta, gamma)


@functools.cache
def _is_missing(pair):
    """Asked once a pair, so before an estimate is set, and remembered after."""
    if pair in fitted():
        return False
    try:
        CP.AbstractState("HEOS", "&".join(pair))
    except ValueError:
        return True
    return False


def missing(fluids):
    """The pairs of a blend that have no parameters in CoolProp, in the order of FAMILIES."""
    pairs = (pair for pair in itertools.combinations(fluids, 2) if set(pair) <= set(FAMILY))
    return [pair for pair in itertools.starmap(_ordered, pairs) if _is_missing(pair)]


def apply(fluids):
    """Gives CoolProp the estimates that a blend needs.

    They are global there, but stand only where there was nothing: no blend with data sees them.
    """
    for pair in missing(fluids):
        _add(pair)


@functools.cache
def _add(pair):
    if not (values := estimate(pair)):
        return
    CP.apply_simple_mixing_rule(*_cas(pair), "Lorentz-Berthelot")
    for name, value in zip(PARAMETERS, values):
        try:
            CP.set_mixture_binary_pair_data(*_cas(pair), name, value)
        except ValueError:
            turned = 1 / value if name == "betaT" else value
            CP.set_mixture_binary_pair_data(*_cas(pair)[::-1], name, turned)
    state = CP.AbstractState("HEOS", "&".join(pair))
    for name, value in zip(PARAMETERS, values):
        if abs(state.get_binary_interaction_double(0, 1, name) - value) > 1e-9:
            raise ValueError(f"{name} of {pair} was not taken")


@functools.cache
def _table():
    with TABLE.open(newline="") as stream:
        return {row["refrigerant"]: row for row in csv.DictReader(stream)}


def remark(name):
    """How a blend was estimated and how far off that may be, a sentence without its stop; None
    where nothing is estimated."""
    if not (row := _table().get(name)):
        return None
    parts = [
        f"of {_listed(row[kind].split('; '))} {how}"
        for kind, how in (
            ("adjusted", "set by remembered boiling points of such blends"),
            ("ruled", "estimated from similar pairs"),
        )
        if row[kind]
    ]
    typical, worst = (
        max(float(row[f"{line}_{kind}_K"]) for line in ("bubble", "dew"))
        for kind in ("typical", "worst")
    )
    typical, worst = (math.ceil(10 * value) / 10 for value in (typical, worst))
    apart = row["from_published_K"]
    compared = f"; up to {apart} K from the standard's boiling points, from memory" if apart else ""
    return (
        f"mixing {' and '.join(parts)}; that may put bubble and dew {typical:.1f} K off, "
        f"at worst about {worst:.1f} K{compared}"
    )


def _listed(names):
    """`a, b and c`."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
