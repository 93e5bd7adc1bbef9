"""The units a sheet may use: a closed list, each spelled with the symbol that the clearance engine has for it.

A test compares the list with the engine's own table, so that no sheet can hold a figure the engine cannot read.
"""

from __future__ import annotations

from typing import Final

UNITS: Final[dict[str, str]] = {
    "mm": "millimetre",
    "µm": "micrometre",
    "in": "inch",
    "thou": "thousandth of an inch",
    "°": "degree of angle",
    "rpm": "turns a minute",
    "°C": "degree Celsius",
    "°F": "degree Fahrenheit",
    "bar": "bar",
    "psi": "pound-force a square inch",
    "N": "newton",
    "kN": "kilonewton",
    "lbf": "pound-force",
    "N m": "newton metre",
    "lbf ft": "pound-force foot",
    "lbf in": "pound-force inch",
    "kg": "kilogram",
    "lb": "pound",
    "g mm": "gram millimetre",
    "oz in": "ounce inch",
    "1/K": "for each kelvin",
    "1/°F": "for each degree Fahrenheit",
    "%": "per cent",
}
