"""The units that builders write, by their usual spellings, and what one is in another.

The spellings are a closed list, for a guess at a unit is worse than a question: `nm` could be a torque, `lb`
is no force, and a gallon is not the same everywhere. What is known here without a library is which unit a
spelling means and of what sort it is; what one unit is in another is pint's to say, exactly, and pint is
loaded (0.4 s) only where two different units meet.
"""

from __future__ import annotations

import functools
import re
import unicodedata
from fractions import Fraction
from typing import Any

import msgspec


class Unit(msgspec.Struct, frozen=True):
    """One unit: how pages write it, of what sort it is, its name in pint (empty: it converts to nothing)."""

    name: str
    sort: str
    pint: str = ""


BARE = Unit("", "a bare number")
"""The unit of a number without one: it is compared with such numbers alone."""

_LINES = """
torque     | in-lb    | inch*force_pound      | in-lb in-lbs in-lbf lb-in lbs-in lbf-in inch-lb inch-lbs \
inch-pound inch-pounds lbfin inlb inlbs lb-inch
torque     | ft-lb    | foot*force_pound      | ft-lb ft-lbs ft-lbf lb-ft lbs-ft lbf-ft foot-pound \
foot-pounds lbfft ftlb ftlbs
torque     | in-oz    | inch*force_ounce      | in-oz in-ozf oz-in ozf-in
torque     | N m      | newton*meter          | =Nm =N-m newton-metre newton-metres newton-meter newton-meters
torque     | N cm     | newton*centimeter     | =Ncm =N-cm
torque     | N mm     | newton*millimeter     | =Nmm =N-mm
torque     | kN m     | kilonewton*meter      | =kNm =kN-m
torque     | daN m    | decanewton*meter      | =daNm =daN-m
torque     | kgf m    | kilogram_force*meter  | kgf-m kgfm kp-m kpm mkp m-kg m-kgf kg-m kgm
torque     | kgf cm   | kilogram_force*centimeter | kgf-cm kgfcm kp-cm kpcm kg-cm kgcm
force      | N        | newton                | =N newton newtons
force      | daN      | decanewton            | =daN
force      | kN       | kilonewton            | =kN
force      | lbf      | force_pound           | lbf pound-force
force      | ozf      | force_ounce           | ozf
force      | kgf      | kilogram_force        | kgf kp
length     | mm       | millimeter            | mm millimetre millimetres millimeter millimeters
length     | cm       | centimeter            | cm centimetre centimetres centimeter centimeters
length     | m        | meter                 | =m metre metres meter meters
length     | km       | kilometer             | km
length     | µm       | micrometer            | =µm =um micron microns micrometre micrometer
length     | in       | inch                  | in inch inches "
length     | µin      | microinch             | =µin =uin microinch microinches
length     | ft       | foot                  | ft foot feet '
length     | yd       | yard                  | yd yds yard yards
length     | thou     | thou                  | thou thous mil mils
angle      | °        | degree                | ° deg degs degree degrees
angle      | ′        | arcminute             | arcmin arcmins
angle      | ″        | arcsecond             | arcsec arcsecs
angle      | rad      | radian                | =rad radian radians
angle      | mrad     | milliradian           | =mrad
temperature | °C      | degree_Celsius        | °C °-C deg-C degC C celsius degrees-C degrees-celsius
temperature | °F      | degree_Fahrenheit     | °F °-F deg-F degF F fahrenheit degrees-F degrees-fahrenheit
temperature | K       | kelvin                | =K kelvin
pressure   | psi      | force_pound/inch**2   | psi psig lb/in2 lbf/in2 lb/sq-in lbs/sq-in
pressure   | ksi      | ksi                   | ksi
pressure   | bar      | bar                   | bar bars
pressure   | mbar     | millibar              | mbar millibar millibars
pressure   | Pa       | pascal                | Pa pascal
pressure   | hPa      | hectopascal           | hPa
pressure   | kPa      | kilopascal            | kPa
pressure   | MPa      | megapascal            | =MPa =N/mm2
pressure   | atm      | standard_atmosphere   | atm
pressure   | inHg     | inch_Hg_32F           | inHg in-Hg "-Hg
pressure   | mmHg     | millimeter_Hg         | mmHg mm-Hg
pressure   | kgf/cm²  | kilogram_force/centimeter**2 | kgf/cm2 kp/cm2 kg/cm2
mass       | kg       | kilogram              | kg kgs kilo kilos kilogram kilograms
mass       | g        | gram                  | =g =gr gm gms gram grams gramme grammes
mass       | mg       | milligram             | mg milligram milligrams
mass       | t        | metric_ton            | =t tonne tonnes
mass       | lb       | pound                 | lb lbs pound pounds lbm
mass       | oz       | ounce                 | oz ounce ounces
volume     | L        | liter                 | =l =L litre litres liter liters ltr dm3
volume     | mL       | milliliter            | =ml =mL =cm3 cc ccm millilitre millilitres milliliter \
milliliters
volume     | m³       | meter**3              | =m3
volume     | in³      | inch**3               | in3 cu-in
volume     | ft³      | foot**3               | ft3 cu-ft
volume     | US gal   | gallon                | US-gal US-gals US-gallon US-gallons U.S.-gal
volume     | US qt    | quart                 | US-qt US-quart US-quarts
volume     | US fl oz | fluid_ounce           | US-fl-oz
volume     | imp gal  | imperial_gallon       | imp-gal imperial-gallon imperial-gallons UK-gal
area       | mm²      | millimeter**2         | =mm2
area       | cm²      | centimeter**2         | =cm2
area       | m²       | meter**2              | =m2 sqm
area       | in²      | inch**2               | in2 sq-in
area       | ft²      | foot**2               | ft2 sq-ft
density    | kg/m³    | kilogram/meter**3     | =kg/m3
density    | g/cm³    | gram/centimeter**3    | =g/cm3 g/cc g/ml
density    | lb/ft³   | pound/foot**3         | lb/ft3 lb/cu-ft
mass by area | g/m²   | gram/meter**2         | =g/m2 gsm
mass by area | oz/yd² | ounce/yard**2         | oz/yd2 oz/sq-yd
force by length | N/mm | newton/millimeter    | =N/mm
force by length | N/m | newton/meter          | =N/m
force by length | lbf/in | force_pound/inch   | lbf/in lb/in
resistance | Ω        | ohm                   | Ω ohm ohms
resistance | µΩ       | microohm              | =µΩ =uΩ =µohm =uohm microohm microohms
resistance | mΩ       | milliohm              | =mΩ =mohm =mohms milliohm milliohms
resistance | kΩ       | kiloohm               | =kΩ =KΩ =kohm =kohms kiloohm kilohm kilohms kiloohms
resistance | MΩ       | megaohm               | =MΩ =Mohm =Mohms megaohm megohm megohms megaohms
resistance | GΩ       | gigaohm               | =GΩ =Gohm =Gohms gigaohm gigaohms
voltage    | V        | volt                  | V VDC V-DC VAC V-AC volt volts
voltage    | mV       | millivolt             | =mV millivolt millivolts
voltage    | kV       | kilovolt              | =kV
current    | A        | ampere                | A amp amps ampere amperes
current    | mA       | milliampere           | =mA milliamp milliamps
current    | µA       | microampere           | =µA =uA
capacity   | A h      | ampere*hour           | =Ah =A-h
capacity   | mA h     | milliampere*hour      | =mAh =mA-h
energy     | W h      | watt*hour             | =Wh =W-h
energy     | J        | joule                 | =J
power      | W        | watt                  | W watt watts
power      | mW       | milliwatt             | =mW
power      | kW       | kilowatt              | =kW
power      | hp       | horsepower            | hp bhp
power      | PS       | metric_horsepower     | =PS
capacitance | µF      | microfarad            | =µF =uF
capacitance | nF      | nanofarad             | =nF
capacitance | pF      | picofarad             | =pF
inductance | µH       | microhenry            | =µH =uH
inductance | mH       | millihenry            | =mH
frequency  | Hz       | hertz                 | Hz
frequency  | kHz      | kilohertz             | kHz
frequency  | MHz      | megahertz             | =MHz
speed of turning | rpm | revolutions_per_minute | rpm r/min rev/min 1/min
speed      | kt       | knot                  | kt kts kn knot knots
speed      | km/h     | kilometer/hour        | km/h kph kmh
speed      | mph      | mile/hour             | mph
speed      | m/s      | meter/second          | m/s
speed      | ft/min   | foot/minute           | ft/min fpm
flow       | L/h      | liter/hour            | =l/h =L/h lph
flow       | L/min    | liter/minute          | =l/min =L/min lpm
flow       | mL/min   | milliliter/minute     | =ml/min =mL/min
flow       | US gal/h | gallon/hour           | US-gal/h US-gph
time       | s        | second                | =s sec secs second seconds
time       | min      | minute                | min mins minute minutes
time       | h        | hour                  | =h hr hrs hour hours
time       | d        | day                   | =d day days
ratio      | %        | percent               | % percent per-cent pct
ratio      | ‰        | permille              | ‰
ratio      | ppm      | ppm                   | ppm
humidity   | % RH     |                       | %RH %-RH %-r.h. %rh
level      | dB       |                       | dB dBA dB(A)
level of power | dBm  |                       | dBm
hardness   | HRC      |                       | HRC
hardness by ball | HRB |                      | HRB
hardness by Brinell | HB |                    | HB HBW
hardness by Vickers | HV |                    | HV
hardness of rubber | Shore A |                | Shore-A Sh-A
hardness of plastic | Shore D |               | Shore-D Sh-D
acidity    | pH       |                       | =pH
light      | lx       |                       | lx lux
number of turns | turns |                     | turn turns
number of threads | threads |                 | thread threads
number of teeth | teeth |                     | tooth teeth
number of clicks | clicks |                   | click clicks
number of layers | plies |                    | ply plies layer layers coat coats
number     | pcs      |                       | pc pcs piece pieces
"""

AMBIGUOUS = {
    "gal": ("US gal", "imp gal"),
    "gallon": ("US gal", "imp gal"),
    "gallons": ("US gal", "imp gal"),
    "gph": ("US gal/h", "L/h"),
    "qt": ("US qt", "L"),
    "floz": ("US fl oz", "mL"),
    "fl-oz": ("US fl oz", "mL"),
    "ton": ("t", "lb"),
    "tons": ("t", "lb"),
}
"""Spellings that mean two things, with what to write instead."""

PARTS_OF = {
    "ft": ("in", 12),
    "lb": ("oz", 16),
    "°": ("′", 60),
    "′": ("″", 60),
    "h": ("min", 60),
    "min": ("s", 60),
}
"""What a unit may be followed by in one value, and how many of those it holds: 5 ft 3 in, 3 lb 4 oz."""

_MARKS = str.maketrans(
    {
        **dict.fromkeys("\u00b7\u22c5\u2022\u2219\u00d7*", "-"),
        "^": "",
        "\u00b5": "\u03bc",  # the micro sign, which NFKC makes a Greek letter too
    }
)
_JOINS = re.compile(r"[\s.\-]+")
_AROUND = re.compile(r"-*([/()])-*")


@functools.cache
def _known() -> tuple[dict[str, Unit], dict[str, Unit]]:
    """The units by spelling: those whose letters' case counts, and those in small letters."""
    cased: dict[str, Unit] = {}
    folded: dict[str, Unit] = {}
    for line in _LINES.strip().split("\n"):
        sort, name, pint, spellings = (each.strip() for each in line.split("|"))
        unit = Unit(name, sort, pint)
        for spelling in spellings.split():
            if len(spelling) > 1 and spelling[0] == "=":
                cased[spelt(spelling[1:])] = unit
            else:
                folded[spelt(spelling).casefold()] = unit
    return cased, folded


def spelt(text: str) -> str:
    """A unit as the list spells it: dots, blanks, hyphens and signs of multiplication between are all one."""
    if not text.isascii():
        text = unicodedata.normalize("NFKC", text)
    joined = _JOINS.sub("-", text.translate(_MARKS).strip(" ."))
    return _AROUND.sub(r"\1", joined)


@functools.lru_cache(maxsize=1 << 10)
def unit_of(text: str) -> Unit | None:
    """The unit that a text means; None where it is none that is known. An empty text is the bare number."""
    if not text:
        return BARE
    cased, folded = _known()
    key = spelt(text)
    return cased.get(key) or folded.get(key.casefold())


def ambiguous(text: str) -> tuple[str, ...]:
    """What to write instead of a spelling that means two things; empty for any other."""
    return AMBIGUOUS.get(spelt(text).casefold(), ())


@functools.cache
def spellings() -> tuple[str, ...]:
    """What a wrong spelling is compared with to find the nearest unit."""
    cased, folded = _known()
    return tuple(dict.fromkeys(unit.name for unit in (*cased.values(), *folded.values()))) + tuple(
        dict.fromkeys((*cased, *folded))
    )


def all_units() -> tuple[Unit, ...]:
    """Every unit, in the order of the list."""
    return tuple(dict.fromkeys(unit for table in _known() for unit in table.values()))


def convert(amount: Fraction, here: Unit, there: Unit) -> Fraction:
    """An amount of one unit in another of the same sort, exactly. Temperatures are points on their scales.

    Raises:
        ValueError: the two are not of one sort, or of a sort that converts to nothing.
    """
    if here == there:
        return amount
    if here.sort != there.sort or not (here.pint and there.pint):
        raise ValueError(f"{here.name or 'a bare number'} is not {there.name or 'a bare number'}")
    factor, offset = _line(here.pint, there.pint)
    return amount * factor + offset


@functools.cache
def _line(here: str, there: str) -> tuple[Fraction, Fraction]:
    """The factor and the offset from one unit to another: every conversion here is a straight line."""
    quantity = _registry().Quantity
    # made by multiplication and not by parsing, for a temperature scale that is parsed is a difference
    offset = Fraction(quantity(Fraction(0), here).to(there).magnitude)
    return Fraction(quantity(Fraction(1), here).to(there).magnitude) - offset, offset


@functools.cache
def _registry() -> Any:
    from pint import UnitRegistry  # noqa: PLC0415 - 0.4 s to load, and most logs never convert a unit

    return UnitRegistry(non_int_type=Fraction, cache_folder=None)
