#!/usr/bin/env python3
"""The catalogue of refrigerants: designation, class, composition, spellings, flammability limit.

    python catalogue.py     check the catalogue and print a summary; exit 1 on an error

`saturation.py` generates the Rust tables from it. Needs only CoolProp (requirements.txt).

Compositions
    Nominal, in mass percent, ASHRAE Standard 34. Every predefined blend of CoolProp 8.0.0 is here
    (138) and equal to it within 0.05 %; the four with R-1132a, which it cannot open, were compared
    once with the mole fractions it holds and are within 0.004 %. Those that CoolProp does not
    predefine are from memory and carried only where sure.
Safety classes
    ASHRAE Standard 34 (2022), all from memory; "" where it assigns none or none is remembered.
    Least sure: R-403A, R-462A, R-467A, R-475A, R-476A. The self-check prints where CoolProp
    differs (R-32, R-143a and R-717 only: its classes are older than 2L).
Lower flammability limits
    kg/m3 at 25 C and 1 atm, the table values of ISO 817 / ASHRAE 34, from memory but for R-40.
    Compared with the volume fractions of IEC 60079-20-1:2010 and NFPA 497:2008 as the PyPI package
    `chemicals` 1.5.2 has them: beside each pure value in _PURE. The two lists disagree by up to
    30 %, IEC being the lower; R-143a, R-170, R-717, R-1150 and R-1270 are above both here. R-32,
    R-142b, R-152a, R-1234yf and R-1234ze(E) are in neither. Those of blends have no second source;
    the self-check prints what mixing the limits of their components gives (Le Chatelier's rule).
"""

import itertools
import math
import re
import sys
from dataclasses import dataclass

import CoolProp.CoolProp as CP

from components import COMPONENTS

BY_NAME = {c.name: c for c in COMPONENTS}


@dataclass(frozen=True)
class Row:
    """One designation. `fluid` is CoolProp's, "" for a blend built from its components.

    `composition` is (component, mass percent), empty for a pure fluid; `mixture` CoolProp's
    predefined blend, "" if none; `lfl` in kg/m3, None if not flammable or not known (`safety` tells
    which).
    """

    name: str
    safety: str
    fluid: str
    composition: list
    aliases: list
    mixture: str
    lfl: float | None
    notes: str


def pure(number, safety, aliases="", lfl=None, notes=""):
    """A row of one component; aliases are separated by semicolons."""
    component = BY_NAME[f"R-{number}"]
    return Row(component.name, safety, component.fluid, [], _split(aliases, ";"), "", lfl, notes)


def blend(name, safety, parts, lfl=None, aliases="", fluid="", predefined=True, notes=""):
    """A row of several; parts are "32 50, 125 50", component numbers and mass percent."""
    pairs = (part.rsplit(" ", 1) for part in _split(parts, ","))
    composition = [(f"R-{number}", float(share)) for number, share in pairs]
    mixture = name.replace("-", "") + ".mix" if predefined else ""
    if not predefined:
        notes = "composition from memory" + (f"; {notes}" if notes else "")
    return Row(name, safety, fluid, composition, _split(aliases, ";"), mixture, lfl, notes)


def _split(text, separator):
    return [part.strip() for part in text.split(separator) if part.strip()]


# fmt: off
_PURE = [
    pure("11", "A1", "CFC-11; trichlorofluoromethane"),
    pure("12", "A1", "CFC-12; dichlorodifluoromethane"),
    pure("13", "A1", "CFC-13; chlorotrifluoromethane"),
    pure("13I1", "A1", "CF3I; trifluoroiodomethane"),
    pure("14", "A1", "PFC-14; CF4; tetrafluoromethane; carbon tetrafluoride"),
    pure("21", "B1", "HCFC-21; dichlorofluoromethane"),
    pure("22", "A1", "HCFC-22; chlorodifluoromethane"),
    pure("23", "A1", "HFC-23; trifluoromethane; fluoroform"),
    pure("32", "A2L", "HFC-32; difluoromethane", 0.307),
    # Of R-40 no table value is remembered: the IEC one, 7.6 %, rounded down. NFPA 0.167.
    pure("40", "B2", "methyl chloride; chloromethane", 0.156, "LFL: IEC 60079-20-1:2010"),
    pure("41", "", "HFC-41; fluoromethane; methyl fluoride"),
    pure("50", "A3", "methane; CH4", 0.032),  # IEC 0.029, NFPA 0.033
    pure("113", "A1", "CFC-113"),
    pure("114", "A1", "CFC-114"),
    pure("115", "A1", "CFC-115; chloropentafluoroethane"),
    pure("116", "A1", "PFC-116; hexafluoroethane"),
    pure("123", "B1", "HCFC-123"),
    pure("124", "A1", "HCFC-124"),
    pure("125", "A1", "HFC-125; pentafluoroethane"),
    pure("134a", "A1", "HFC-134a; 1,1,1,2-tetrafluoroethane"),
    pure("141b", "", "HCFC-141b"),
    pure("142b", "A2", "HCFC-142b", 0.329),
    pure("143a", "A2L", "HFC-143a; 1,1,1-trifluoroethane", 0.282),  # IEC 0.234
    pure("152a", "A2", "HFC-152a; 1,1-difluoroethane", 0.130),
    pure("161", "", "HFC-161; fluoroethane; ethyl fluoride"),
    pure("170", "A3", "ethane; HC-170; C2H6", 0.038),  # IEC 0.030, NFPA 0.037
    pure("218", "A1", "PFC-218; octafluoropropane; perfluoropropane"),
    pure("227ea", "A1", "HFC-227ea; R-227; heptafluoropropane"),
    pure("236ea", "", "HFC-236ea"),
    pure("236fa", "A1", "HFC-236fa"),
    pure("245ca", "", "HFC-245ca"),
    pure("245fa", "B1", "HFC-245fa"),
    pure("290", "A3", "propane; HC-290; C3H8", 0.038),  # IEC 0.031, NFPA 0.038
    pure("365mfc", "", "HFC-365mfc"),
    pure("600", "A3", "butane; n-butane; HC-600", 0.038),  # IEC 0.033, NFPA 0.045
    pure("600a", "A3", "isobutane; HC-600a", 0.043),  # IEC 0.031, NFPA 0.043
    pure("601", "A3", "pentane; n-pentane; HC-601", 0.035),  # IEC 0.032, NFPA 0.044
    pure("601a", "A3", "isopentane; HC-601a", 0.038),  # IEC 0.038, NFPA 0.041
    pure("717", "B2L", "ammonia; anhydrous ammonia; NH3", 0.116),  # IEC 0.104, NFPA 0.104
    pure("718", "A1", "H2O"),
    pure("744", "A1", "carbon dioxide; CO2"),
    pure("744A", "", "nitrous oxide; N2O"),
    pure("764", "B1", "sulfur dioxide; sulphur dioxide; SO2"),
    pure("1123", "", "HFO-1123; trifluoroethylene; trifluoroethene"),
    pure("1130(E)", "B1", "HCO-1130(E); trans-1,2-dichloroethene; trans-1,2-dichloroethylene"),
    pure("1132(E)", "", "HFO-1132(E); trans-1,2-difluoroethene; trans-1,2-difluoroethylene"),
    pure("1150", "A3", "ethylene; ethene; HC-1150; C2H4", 0.036),  # IEC 0.026, NFPA 0.031
    pure("1224yd(Z)", "A1", "HCFO-1224yd(Z)"),
    pure("1233zd(E)", "A1", "HCFO-1233zd(E)"),
    pure("1234yf", "A2L", "HFO-1234yf; 2,3,3,3-tetrafluoropropene", 0.289),
    # In the trade R-1234ze without a letter is the E isomer (common practice, no source).
    pure("1234ze(E)", "A2L", "HFO-1234ze(E); R-1234ze; HFO-1234ze", 0.303),
    pure("1234ze(Z)", "", "HFO-1234ze(Z)"),
    pure("1243zf", "", "HFO-1243zf; 3,3,3-trifluoropropene"),
    pure("1270", "A3", "propylene; propene; HC-1270; C3H6", 0.046),  # IEC 0.034, NFPA 0.041
    pure("1336mzz(E)", "A1", "HFO-1336mzz(E)"),
    pure("1336mzz(Z)", "A1", "HFO-1336mzz(Z)"),
    pure("C270", "", "cyclopropane"),
    pure("C318", "A1", "C318; PFC-c-318; octafluorocyclobutane"),
    pure("E170", "A3", "dimethyl ether; DME; E170", 0.064),  # IEC 0.051, NFPA 0.064
]

# R-404A, R-407C, R-410A and R-507A exist twice in CoolProp: as a pseudo-pure equation, which has
# bubble and dew lines of its own, and as a mixture of components. The two agree within 0.1 psi.
# The pseudo-pure one is taken: it gives 542.63 psig for R-410A bubble at 140 F where a public
# table from reference equations has 542.6 (the mixture gives 542.51), and it is explicit, so it
# has no flash to fail near the critical point.
_BLENDS = [
    blend("R-401A", "A1", "22 53, 152a 13, 124 34"),
    blend("R-401B", "A1", "22 61, 152a 11, 124 28"),
    blend("R-401C", "A1", "22 33, 152a 15, 124 52"),
    blend("R-402A", "A1", "125 60, 290 2, 22 38"),
    blend("R-402B", "A1", "125 38, 290 2, 22 60"),
    blend("R-403A", "A2", "290 5, 22 75, 218 20"),
    blend("R-403B", "A1", "290 5, 22 56, 218 39"),
    blend("R-404A", "A1", "125 44, 143a 52, 134a 4", fluid="R404A"),
    blend("R-405A", "", "22 45, 152a 7, 142b 5.5, C318 42.5"),
    blend("R-406A", "A2", "22 55, 600a 4, 142b 41", 0.302),
    blend("R-407A", "A1", "32 20, 125 40, 134a 40"),
    blend("R-407B", "A1", "32 10, 125 70, 134a 20"),
    blend("R-407C", "A1", "32 23, 125 25, 134a 52", fluid="R407C"),
    blend("R-407D", "A1", "32 15, 125 15, 134a 70"),
    blend("R-407E", "A1", "32 25, 125 15, 134a 60"),
    blend("R-407F", "A1", "32 30, 125 30, 134a 40"),
    blend("R-407G", "A1", "32 2.5, 125 2.5, 134a 95"),
    blend("R-407H", "A1", "32 32.5, 125 15, 134a 52.5"),
    blend("R-407I", "A1", "32 19.5, 125 8.5, 134a 72"),
    blend("R-408A", "A1", "125 7, 143a 46, 22 47"),
    blend("R-409A", "A1", "22 60, 124 25, 142b 15"),
    blend("R-409B", "A1", "22 65, 124 25, 142b 10"),
    blend("R-410A", "A1", "32 50, 125 50", fluid="R410A"),
    blend("R-410B", "A1", "32 45, 125 55"),
    blend("R-411A", "A2", "1270 1.5, 22 87.5, 152a 11", 0.186),
    blend("R-411B", "A2", "1270 3, 22 94, 152a 3", 0.239),
    blend("R-412A", "A2", "22 70, 218 5, 142b 25", 0.329),
    blend("R-413A", "A2", "218 9, 134a 88, 600a 3", 0.375),
    blend("R-414A", "A1", "22 51, 124 28.5, 600a 4, 142b 16.5"),
    blend("R-414B", "A1", "22 50, 124 39, 600a 1.5, 142b 9.5"),
    blend("R-415A", "A2", "22 82, 152a 18"),
    blend("R-415B", "A2", "22 25, 152a 75"),
    blend("R-416A", "A1", "134a 59, 124 39.5, 600 1.5"),
    blend("R-417A", "A1", "125 46.6, 134a 50, 600 3.4"),
    blend("R-417B", "A1", "125 79, 134a 18.3, 600 2.7"),
    blend("R-417C", "A1", "125 19.5, 134a 78.8, 600 1.7"),
    blend("R-418A", "A2", "290 1.5, 22 96, 152a 2.5", 0.31),
    blend("R-419A", "A2", "125 77, 134a 19, E170 4"),
    blend("R-419B", "A2", "125 48.5, 134a 48, E170 3.5"),
    blend("R-420A", "A1", "134a 88, 142b 12"),
    blend("R-421A", "A1", "125 58, 134a 42"),
    blend("R-421B", "A1", "125 85, 134a 15"),
    blend("R-422A", "A1", "125 85.1, 134a 11.5, 600a 3.4"),
    blend("R-422B", "A1", "125 55, 134a 42, 600a 3"),
    blend("R-422C", "A1", "125 82, 134a 15, 600a 3"),
    blend("R-422D", "A1", "125 65.1, 134a 31.5, 600a 3.4"),
    blend("R-422E", "A1", "125 58, 134a 39.3, 600a 2.7"),
    blend("R-423A", "A1", "134a 52.5, 227ea 47.5"),
    blend("R-424A", "A1", "125 50.5, 134a 47, 600a 0.9, 600 1, 601a 0.6"),
    blend("R-425A", "A1", "32 18.5, 134a 69.5, 227ea 12"),
    blend("R-426A", "A1", "125 5.1, 134a 93, 600 1.3, 601a 0.6"),
    blend("R-427A", "A1", "32 15, 125 25, 143a 10, 134a 50"),
    blend("R-427C", "A1", "32 25, 125 25, 143a 10, 134a 40"),
    blend("R-428A", "A1", "125 77.5, 143a 20, 290 0.6, 600a 1.9"),
    blend("R-429A", "A3", "E170 60, 152a 10, 600a 30", 0.052),
    blend("R-430A", "A3", "152a 76, 600a 24", 0.084),
    blend("R-431A", "A3", "290 71, 152a 29", 0.044),
    blend("R-432A", "A3", "1270 80, E170 20", 0.039),
    blend("R-433A", "A3", "1270 30, 290 70", 0.036),
    blend("R-433B", "A3", "1270 5, 290 95"),
    blend("R-433C", "A3", "1270 25, 290 75"),
    blend("R-434A", "A1", "125 63.2, 143a 18, 134a 16, 600a 2.8"),
    blend("R-435A", "A3", "E170 80, 152a 20", 0.069),
    blend("R-436A", "A3", "290 56, 600a 44", 0.032),
    blend("R-436B", "A3", "290 52, 600a 48"),
    blend("R-436C", "A3", "290 95, 600a 5"),
    blend("R-437A", "A1", "125 19.5, 134a 78.5, 600 1.4, 601 0.6"),
    blend("R-438A", "A1", "32 8.5, 125 45, 134a 44.2, 600 1.7, 601a 0.6"),
    blend("R-439A", "A2", "32 50, 125 47, 600a 3", 0.304),
    blend("R-440A", "A2", "290 0.6, 134a 1.6, 152a 97.8", 0.124),
    blend("R-441A", "A3", "170 3.1, 290 54.8, 600a 6, 600 36.1", 0.032),
    blend("R-442A", "A1", "32 31, 125 31, 134a 30, 152a 3, 227ea 5"),
    blend("R-443A", "A3", "1270 55, 290 40, 600a 5"),
    blend("R-444A", "A2L", "32 12, 152a 5, 1234ze(E) 83"),
    blend("R-444B", "A2L", "32 41.5, 152a 10, 1234ze(E) 48.5"),
    blend("R-445A", "A2L", "744 6, 134a 9, 1234ze(E) 85"),
    blend("R-446A", "A2L", "32 68, 1234ze(E) 29, 600 3"),
    blend("R-447A", "A2L", "32 68, 125 3.5, 1234ze(E) 28.5", 0.303),
    blend("R-447B", "A2L", "32 68, 125 8, 1234ze(E) 24"),
    blend("R-448A", "A1", "32 26, 125 26, 1234yf 20, 134a 21, 1234ze(E) 7"),
    blend("R-448B", "A1", "32 21, 125 21, 1234yf 20, 134a 31, 1234ze(E) 7"),
    blend("R-449A", "A1", "32 24.3, 125 24.7, 1234yf 25.3, 134a 25.7"),
    blend("R-449B", "A1", "32 25.2, 125 24.3, 1234yf 23.2, 134a 27.3"),
    blend("R-449C", "A1", "32 20, 125 20, 1234yf 31, 134a 29"),
    blend("R-450A", "A1", "134a 42, 1234ze(E) 58"),
    blend("R-451A", "A2L", "1234yf 89.8, 134a 10.2"),
    blend("R-451B", "A2L", "1234yf 88.8, 134a 11.2"),
    blend("R-452A", "A1", "32 11, 125 59, 1234yf 30"),
    blend("R-452B", "A2L", "32 67, 125 7, 1234yf 26", 0.309),
    blend("R-452C", "A1", "32 12.5, 125 61, 1234yf 26.5"),
    blend("R-453A", "A1", "32 20, 125 20, 134a 53.8, 227ea 5, 600 0.6, 601a 0.6"),
    blend("R-454A", "A2L", "32 35, 1234yf 65", 0.278),
    blend("R-454B", "A2L", "32 68.9, 1234yf 31.1", 0.297),
    blend("R-454C", "A2L", "32 21.5, 1234yf 78.5", 0.293),
    # Its carbon dioxide raises the limit over that of R-454C; 0.423 to 0.431 (memory).
    blend("R-455A", "A2L", "744 3, 32 21.5, 1234yf 75.5", 0.423),
    blend("R-456A", "A1", "32 6, 134a 45, 1234ze(E) 49"),
    blend("R-457A", "A2L", "32 18, 1234yf 70, 152a 12", 0.216),
    blend("R-457B", "A2L", "32 35, 1234yf 55, 152a 10"),
    blend("R-457C", "A2L", "32 7.5, 1234yf 78, 152a 14.5"),
    blend("R-458A", "A1", "32 20.5, 125 4, 134a 61.4, 227ea 13.5, 236fa 0.6"),
    blend("R-459A", "A2L", "32 68, 1234yf 26, 1234ze(E) 6"),
    blend("R-459B", "A2L", "32 21, 1234yf 69, 1234ze(E) 10"),
    blend("R-460A", "A1", "32 12, 125 52, 134a 14, 1234ze(E) 22"),
    blend("R-460B", "A1", "32 28, 125 25, 134a 20, 1234ze(E) 27"),
    blend("R-460C", "A1", "32 2.5, 125 2.5, 134a 46, 1234ze(E) 49"),
    blend("R-461A", "A1", "125 55, 143a 5, 134a 32, 227ea 5, 600a 3"),
    blend("R-462A", "A2", "32 9, 125 42, 143a 2, 134a 44, 600 3"),
    blend("R-463A", "A1", "744 6, 32 36, 125 30, 1234yf 14, 134a 14"),
    blend("R-464A", "A1", "32 27, 125 27, 1234ze(E) 40, 227ea 6"),
    blend("R-465A", "A2", "32 21, 290 7.9, 1234yf 71.1"),
    blend("R-466A", "A1", "32 49, 125 11.5, 13I1 39.5"),
    blend("R-467A", "A2L", "32 22, 125 5, 134a 72.4, 600a 0.6"),
    blend("R-468A", "A2L", "1132a 3.5, 32 21.5, 1234yf 75"),
    blend("R-468B", "A2L", "1132a 6, 32 13, 1234yf 81"),
    blend("R-468C", "A2L", "1132a 6, 32 42, 1234yf 52"),
    blend("R-469A", "A1", "744 35, 32 32.5, 125 32.5"),
    blend("R-470A", "A1", "744 10, 32 17, 125 19, 134a 7, 1234ze(E) 44, 227ea 3"),
    blend("R-470B", "A1", "744 10, 32 11.5, 125 11.5, 134a 3, 1234ze(E) 57, 227ea 7"),
    blend("R-471A", "A1", "1234ze(E) 78.7, 227ea 4.3, 1336mzz(E) 17"),
    blend("R-472A", "A1", "744 69, 32 12, 134a 19"),
    blend("R-472B", "A1", "744 58, 32 10, 134a 32"),
    blend("R-473A", "A1", "1132a 20, 23 10, 744 60, 125 10"),
    blend("R-474A", "A2L", "1132(E) 23, 1234yf 77"),
    blend("R-475A", "A1", "1234yf 45, 134a 43, 1234ze(E) 12"),
    blend("R-476A", "A1", "134a 10, 1234ze(E) 78, 1336mzz(E) 12"),
    blend("R-500", "A1", "12 73.8, 152a 26.2"),
    blend("R-501", "A1", "22 75, 12 25"),
    blend("R-502", "A1", "22 48.8, 115 51.2"),
    blend("R-503", "", "23 40.1, 13 59.9"),
    blend("R-504", "", "32 48.2, 115 51.8"),
    # R-507 is its designation from before azeotropes took a letter (from memory).
    blend("R-507A", "A1", "125 50, 143a 50", aliases="R-507", fluid="R507A"),
    blend("R-508A", "A1", "23 39, 116 61"),
    blend("R-508B", "A1", "23 46, 116 54"),
    blend("R-509A", "A1", "22 44, 218 56"),
    blend("R-510A", "A3", "E170 88, 600a 12", 0.056),
    blend("R-511A", "A3", "290 95, E170 5", 0.038),
    blend("R-512A", "A2", "134a 5, 152a 95", 0.124),
    blend("R-513A", "A1", "1234yf 56, 134a 44"),
    # Not predefined in CoolProp. R-1132a (a component of R-468 and R-473A), R-474B and R-477A
    # onwards are left out: no equation of state, or a composition not surely remembered.
    blend("R-427B", "A1", "32 20.6, 125 25.6, 143a 19, 134a 34.8", predefined=False),
    blend("R-513B", "A1", "1234yf 58.5, 134a 41.5", predefined=False),
    blend("R-514A", "B1", "1336mzz(Z) 74.7, 1130(E) 25.3", predefined=False),
    blend("R-515A", "A1", "1234ze(E) 88, 227ea 12", predefined=False),
    blend("R-515B", "A1", "1234ze(E) 91.1, 227ea 8.9", predefined=False),
    blend("R-516A", "A2L", "1234yf 77.5, 134a 8.5, 152a 14", predefined=False),
]
# fmt: on


def _order(row):
    number, letters = re.fullmatch(r"R-[CE]?(\d+)(.*)", row.name).groups()
    return int(number), letters


ROWS = sorted(_PURE + _BLENDS, key=_order)


def gwp(row, basis):
    """Warming potential on the basis "ar4", "us" or "eu", unrounded.

    Of a blend the sum weighted by mass. None if a component's value is not known; but "us" follows
    40 CFR 84.64(c), which leaves a constituent without a listed value out of the sum. A blend of
    which no constituent has one is not known on that basis either.
    """
    parts = row.composition or [(row.name, 100)]
    values = [(getattr(BY_NAME[name], f"gwp_{basis}"), share) for name, share in parts]
    known = [(value, share) for value, share in values if value is not None]
    if not known or (basis != "us" and len(known) < len(values)):
        return None
    return math.fsum(value * share / 100 for value, share in known)


def ozone_class(row):
    """The stricter class of its components, "" if none has one."""
    classes = {BY_NAME[name].ozone for name, _ in row.composition or [(row.name, 100)]}
    return next((c for c in ("I", "II") if c in classes), "")


def fold(text):
    """The spelling a name is looked up by: lower case letters and digits, no leading r."""
    text = "".join(c for c in text.lower() if c.isalnum())
    return text[1:] if text[0] == "r" and text[1:2].isdigit() else text


# GWP computed before and apart from this table, from the same compositions: AR4 with 4 and 7 for
# R-1234yf and R-1234ze(E), then with 0.501 and 1.37.
PUBLISHED = """
R-22 1810 1810, R-134a 1430 1430, R-404A 3922 3922, R-407A 2107 2107, R-407C 1774 1774,
R-407F 1824 1824, R-407H 1495 1495, R-410A 2088 2088, R-448A 1387 1386, R-449A 1397 1396,
R-450A 605 601, R-452A 2140 2139, R-452B 698 697, R-454A 239 237, R-454B 466 465, R-454C 148 146,
R-455A 148 146, R-507A 3985 3985, R-513A 631 629, R-515B 293 288, R-32 675 675, R-290 3.3 3.3,
R-600a 3 3, R-717 0 0, R-744 1 1, R-1234yf 4 0.501, R-1234ze(E) 7 1.37, R-1270 1.8 1.8,
R-170 5.5 5.5, R-23 14800 14800, R-508B 13396 13396, R-123 77 77, R-11 4750 4750, R-12 10900 10900,
R-502 4657 4657, R-401A 1182 1182, R-402A 2788 2788, R-408A 3152 3152, R-409A 1585 1585,
R-417A 2346 2346, R-422A 3143 3143, R-422D 2729 2729, R-427A 2138 2138, R-438A 2265 2265,
R-466A 734 734, R-471A 147 143"""
# Where this table knowingly gives another figure. Not compared on "eu" at all: what depletes ozone,
# and R-466A, because that basis has no value for a component.
DEPARTURES = {
    ("R-407F", "ar4"): "exactly a half, rounded to even there",
    ("R-407F", "eu"): "exactly a half, rounded to even there",
    ("R-466A", "ar4"): "R-13I1 was taken as 1 there",
    ("R-508B", "eu"): "R-116 is 12400 in AR6",
    ("R-438A", "eu"): "hydrocarbons are below 0.1 in AR6",
    ("R-290", "eu"): "as R-438A",
    ("R-600a", "eu"): "as R-438A",
    ("R-1270", "eu"): "as R-438A",
    ("R-170", "eu"): "as R-438A",
}


def predefined():
    """CoolProp's predefined refrigerant blends."""
    names = CP.get_global_param_string("predefined_mixtures").split(",")
    return {name for name in names if re.fullmatch(r"R\d+[A-Z]?\.mix", name)}


def shares_of(mixture):
    """(mass percent by CoolProp fluid, pairs without parameters); None where a fluid is missing.

    Pairs without parameters get a linear rule, only so that the composition can be read.
    """
    by_cas = {c.fluid: CP.get_fluid_param_string(c.fluid, "CAS") for c in COMPONENTS if c.fluid}
    by_cas = {cas: fluid for fluid, cas in by_cas.items()}
    while True:
        try:
            state = CP.AbstractState("HEOS", mixture)
            break
        except ValueError as error:
            pair = re.search(r"binary pair \[([\d-]+),([\d-]+)\]", str(error))
            if not pair:
                return None, str(error)
            CP.apply_simple_mixing_rule(*pair.groups(), "linear")
            ESTIMATED.add(frozenset(by_cas[cas] for cas in pair.groups()))
    moles = zip(state.fluid_names(), state.get_mole_fractions())
    mass = {fluid: share * CP.PropsSI("M", fluid) for fluid, share in moles}
    total = math.fsum(mass.values())
    missing = [pair for pair in itertools.combinations(mass, 2) if frozenset(pair) in ESTIMATED]
    return {fluid: 100 * share / total for fluid, share in mass.items()}, missing


ESTIMATED = set()


def check_names():
    """Errors of spelling, coverage and fluid names."""
    seen = {}
    for row in ROWS:
        for spelling in [row.name, *row.aliases]:
            if fold(spelling) in seen:
                yield f"{row.name}: {spelling} is already a spelling of {seen[fold(spelling)]}"
            seen[fold(spelling)] = row.name
        for name, _ in row.composition:
            if name not in BY_NAME:
                yield f"{row.name}: component {name} is not known"
    fluids = set(CP.get_global_param_string("fluids_list").split(","))
    used = {row.fluid for row in ROWS} | {c.fluid for c in COMPONENTS}
    yield from (f"CoolProp has no fluid {fluid}" for fluid in sorted(used - fluids - {""}))
    here = {row.mixture for row in ROWS} - {""}
    yield from (f"{name} is not carried, or not CoolProp's" for name in sorted(here ^ predefined()))


def check_compositions():
    """Errors of composition; prints what CoolProp cannot evaluate as it stands."""
    for row in ROWS:
        if row.composition and abs(math.fsum(share for _, share in row.composition) - 100) > 1e-9:
            yield f"{row.name}: the composition does not sum to 100 %"
        if not row.mixture:
            continue
        theirs, missing = shares_of(row.mixture)
        if theirs is None:
            print(f"{row.name}: not evaluated by CoolProp: {missing}")
            continue
        if missing:
            pairs = "; ".join(" + ".join(pair) for pair in missing)
            print(f"{row.name}: not evaluated by CoolProp, no parameters for {pairs}")
        ours = {BY_NAME[name].fluid: share for name, share in row.composition}
        for fluid in sorted(ours.keys() | theirs.keys()):
            if abs(ours.get(fluid, 0) - theirs.get(fluid, 0)) > 0.05:
                yield f"{row.name}: {fluid} {ours.get(fluid)} %, CoolProp {theirs.get(fluid)} %"


def check_gwp():
    """Errors against PUBLISHED; prints the known departures."""
    rows = {row.name: row for row in ROWS}
    for entry in PUBLISHED.split(","):
        name, *values = entry.split()
        for basis, published in zip(("ar4", "eu"), map(float, values)):
            ours = gwp(rows[name], basis)
            if ours is None:
                continue
            same = math.floor(ours + 0.5) == math.floor(published + 0.5)
            text = f"{name} {basis}: GWP {ours:.2f}, published {published:g}"
            if same == ((name, basis) in DEPARTURES):
                yield text
            elif not same:
                print(f"{text}: {DEPARTURES[name, basis]}")


def report_safety():
    """Prints class differences and what is known of flammability limits."""
    limits = {row.name: row.lfl for row in ROWS if not row.composition}
    unknown = []
    for row in ROWS:
        theirs = CP.get_fluid_param_string(row.fluid, "ASHRAE34") if row.fluid else ""
        if theirs not in (row.safety, "UNKNOWN", "?", ""):
            print(f"{row.name}: class {theirs} in CoolProp, {row.safety or 'none'} here")
        if row.safety[1:] in ("2L", "2", "3"):
            inverse = sum(share / 100 / limits[n] for n, share in row.composition if limits.get(n))
            if row.lfl is None:
                unknown.append(row.name)
            elif inverse:
                print(f"{row.name}: LFL {row.lfl} kg/m3, {1 / inverse:.3f} from its components")
        elif row.lfl is not None:
            sys.exit(f"{row.name}: an LFL and no flammable class")
    print(f"{len(unknown)} flammable without LFL: {', '.join(unknown)}")


def main():
    """The self-check."""
    errors = [*check_names(), *check_compositions(), *check_gwp()]
    report_safety()
    for error in errors:
        print(error, file=sys.stderr)
    blends = sum(bool(row.composition) for row in ROWS)
    print(f"{len(COMPONENTS)} components, {len(ROWS)} rows, {blends} blends, {len(errors)} errors")
    for basis in ("ar4", "us", "eu"):
        missing = [row.name for row in ROWS if gwp(row, basis) is None]
        print(f"no GWP on {basis}: {len(missing)}: {', '.join(missing)}")
    sys.exit(bool(errors))


if __name__ == "__main__":
    main()
