"""The calibrated sprayer: carrier per area from a catch, from nozzles and speed, or from a timed course.

The usual constants (340.3 sq ft, 5940, 495, 46.4) only change units; in SI none is needed.
"""

from __future__ import annotations

from typing import Final

from lawnmap.errors import InputError
from lawnmap.units import ACRE_M2

COURSE_M2: Final = float(ACRE_M2 / 128)
"""1/128 acre: sprayed, an ounce caught is a gallon per acre (Ounces Equal Gallons, LSU AgCenter). [m²]"""


def carrier_from_catch(caught_m3: float, area_m2: float) -> float:
    """Return what a sprayer puts down per area, from what it used on a measured area.

    Parameters
    ----------
    caught_m3 : float
        Water used or caught. [m³]
    area_m2 : float
        Ground that it covers. [m²]

    Returns
    -------
    float
        Carrier per area. [m³/m²]

    Raises
    ------
    InputError
        For nothing caught, or no area.
    """
    _positive(caught_m3=caught_m3, area_m2=area_m2)
    return caught_m3 / area_m2


def carrier_from_nozzles(flow_m3_per_s: float, speed_m_per_s: float, width_m: float) -> float:
    """Return what a sprayer puts down per area, from its flow, speed and width.

    The same as GPA = 5940 × GPM / (mph × inches) (G1270A, University of Missouri Extension).

    Parameters
    ----------
    flow_m3_per_s : float
        Flow over the width: of one nozzle over its spacing, or of the boom over its swath. [m³/s]
    speed_m_per_s : float
        Speed over the ground. [m/s]
    width_m : float
        Width that the flow covers. [m]

    Returns
    -------
    float
        Carrier per area. [m³/m²]

    Raises
    ------
    InputError
        For a flow, speed or width of nothing.
    """
    _positive(flow_m3_per_s=flow_m3_per_s, speed_m_per_s=speed_m_per_s, width_m=width_m)
    return flow_m3_per_s / (speed_m_per_s * width_m)


def course_length(width_m: float) -> float:
    """Return the length of a course of 1/128 acre.

    Parameters
    ----------
    width_m : float
        Width that is sprayed. [m]

    Returns
    -------
    float
        Length to spray; what runs out meanwhile, in fluid ounces, is gallons per acre. [m]

    Raises
    ------
    InputError
        For no width.
    """
    _positive(width_m=width_m)
    return COURSE_M2 / width_m


def _positive(**figures: float) -> None:
    for name, value in figures.items():
        if not value > 0:
            word = name.split("_")[0]
            raise InputError(f"the {word} of the sprayer is not more than 0", mend="measure it again")
