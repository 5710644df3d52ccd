"""Facts of the single substances that refrigerants are made of: warming potential and ozone class.

Three bases of the 100-year warming potential (GWP), because the rules differ:

    ar4  IPCC, Fourth Assessment Report (2007). For what that report does not list, the figure
         usually printed beside its values (Regulation (EU) 517/2014 Annexes II and IV).
    us   40 CFR 84.64: the exchange values of the AIM Act for regulated HFCs, equal to ar4; other
         substances as far as known.
    eu   Regulation (EU) 2024/573 Annexes I, II, III and VI. Substances that deplete ozone are not
         in it (Regulation (EU) 2024/590 is theirs), so theirs is not known here.

None means not known, never zero.
"""

from dataclasses import dataclass

# One letter for each of the three values, in the order ar4, us, eu. The reports' tables were read
# as transcribed in the PyPI package `chemicals` 1.5.2; every A and S was compared with it.
SOURCES = {
    "A": "IPCC AR4",
    "F": "40 CFR 98 table A-1, edition before 2024, from memory; CoolProp's GWP100 is the same",
    "X": "same as ar4; that the rule takes this value is from memory",
    "S": "IPCC AR6; that the regulation takes this value is from memory",
    "C": "CoolProp 8.0.0, GWP100",
    "M": "from memory",
    "-": "not known",
}


@dataclass(frozen=True)
class Component:
    """One molecule. `fluid` is CoolProp's name, "" if it has none."""

    name: str
    fluid: str
    gwp_ar4: float | None
    gwp_us: float | None
    gwp_eu: float | None
    source: str
    ozone: str  # "I" or "II": class in the US Clean Air Act, Title VI (from memory); "" if none


def _component(number, fluid, ar4, us, eu, letters, ozone=""):
    values = (ar4, us, eu)
    if any((value is None) != (letter == "-") for value, letter in zip(values, letters)):
        raise ValueError(f"R-{number}: a value without a source or the reverse")
    parts = (f"{basis}: {SOURCES[x]}" for basis, x in zip(("AR4", "US", "EU"), letters))
    source = "; ".join(parts)
    return Component(f"R-{number}", fluid, *values, source, ozone)


_ = None  # not known
# fmt: off
COMPONENTS = [
    _component("11", "R11", 4750, 4750, _, "AX-", "I"),
    _component("12", "R12", 10900, 10900, _, "AX-", "I"),
    _component("13", "R13", 14400, 14400, _, "AX-", "I"),
    # Often taken as 1; on R-466A the difference is 0.24.
    _component("13I1", "R13I1", 0.4, _, _, "C--"),
    _component("14", "R14", 7390, 7390, 7380, "AXS"),
    _component("21", "R21", 151, 151, _, "FX-", "II"),
    _component("22", "R22", 1810, 1810, _, "AX-", "II"),
    _component("23", "R23", 14800, 14800, 14800, "AXX"),
    _component("32", "R32", 675, 675, 675, "AXX"),
    _component("40", "R40", 13, 13, 5.54, "AXS"),
    _component("41", "R41", 92, 92, 92, "FXX"),
    _component("50", "Methane", 25, 25, 27.9, "AXS"),
    _component("113", "R113", 6130, 6130, _, "AX-", "I"),
    _component("114", "R114", 10000, 10000, _, "AX-", "I"),
    _component("115", "R115", 7370, 7370, _, "AX-", "I"),
    _component("116", "R116", 12200, 12200, 12400, "AXS"),
    _component("123", "R123", 77, 77, _, "AX-", "II"),
    _component("124", "R124", 609, 609, _, "AX-", "II"),
    _component("125", "R125", 3500, 3500, 3500, "AXX"),
    _component("134a", "R134a", 1430, 1430, 1430, "AXX"),
    _component("141b", "R141b", 725, 725, _, "AX-", "II"),
    _component("142b", "R142b", 2310, 2310, _, "AX-", "II"),
    _component("143a", "R143a", 4470, 4470, 4470, "AXX"),
    _component("152a", "R152A", 124, 124, 124, "AXX"),
    _component("161", "R161", 12, 12, _, "MX-"),
    # Indirect values of the AR4 text, as for 290, 600, 1150 and 1270; the report's table has none.
    _component("170", "Ethane", 5.5, 5.5, 0.437, "MXS"),
    _component("218", "R218", 8830, 8830, 9290, "AXS"),
    _component("227ea", "R227EA", 3220, 3220, 3220, "AXX"),
    _component("236ea", "R236EA", 1370, 1370, 1370, "MXX"),
    _component("236fa", "R236FA", 9810, 9810, 9810, "AXX"),
    _component("245ca", "R245ca", 693, 693, 693, "MXX"),
    _component("245fa", "R245fa", 1030, 1030, 1030, "AXX"),
    _component("290", "n-Propane", 3.3, 3.3, 0.02, "MXS"),
    _component("365mfc", "R365MFC", 794, 794, 794, "AXX"),
    _component("600", "n-Butane", 4, 4, 0.006, "MXS"),
    _component("600a", "IsoButane", 3, 3, 0, "MXM"),
    _component("601", "n-Pentane", 5, 5, 0, "MXM"),
    _component("601a", "Isopentane", 5, 5, 0, "MXM"),
    _component("717", "Ammonia", 0, 0, 0, "MXX"),
    _component("718", "Water", 0, 0, _, "MX-"),
    _component("744", "CarbonDioxide", 1, 1, 1, "AXS"),
    _component("744A", "NitrousOxide", 298, 298, 273, "AXS"),
    _component("764", "SulfurDioxide", _, _, _, "---"),
    _component("1123", "R1123", _, _, 0.005, "--S"),
    _component("1130(E)", "R1130(E)", 5, 5, _, "CM-"),
    _component("1132(E)", "R1132(E)", _, _, _, "---"),
    _component("1132a", "", _, _, 0.052, "--S"),
    _component("1150", "Ethylene", 3.7, 3.7, 4, "MXM"),
    _component("1224yd(Z)", "R1224YDZ", _, 1, _, "-M-"),
    _component("1233zd(E)", "R1233zd(E)", 4.5, 1, 3.88, "MMS"),
    _component("1234yf", "R1234yf", 4, 1, 0.501, "MMS"),
    _component("1234ze(E)", "R1234ze(E)", 7, 1, 1.37, "MMS"),
    _component("1234ze(Z)", "R1234ze(Z)", _, _, 0.315, "--S"),
    _component("1243zf", "R1243zf", _, _, 0.261, "--S"),
    _component("1270", "Propylene", 1.8, 1.8, 0, "MXM"),
    _component("1336mzz(E)", "R1336mzz(E)", 18, _, 17.9, "M-S"),
    _component("1336mzz(Z)", "R1336mzz(Z)", 9, 2, 2.08, "MMS"),
    _component("C270", "CycloPropane", _, _, _, "---"),
    _component("C318", "RC318", 10300, 10300, 10200, "AXS"),
    _component("E170", "DimethylEther", 1, 1, 1, "AXM"),
]
# fmt: on
