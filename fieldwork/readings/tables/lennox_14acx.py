"""Target superheat of a system with a fixed orifice, °F: Lennox 14ACX manual p. 26.

At the suction service valve, load 70 to 80 °F indoors, tolerance 5 °F. None is the chart's dash:
the target would be under 5 °F, and no test is valid. Carrier 38VTA Table 4, of another
refrigerant, agrees but for 12 of 182 cells, each by 1 °F (tests/outside/test_superheat_charts.py).
"""

WET_BULB_F = (50, 52, 54, 56, 58, 60, 62, 64, 66, 68, 70, 72, 74, 76)

TARGET_F: dict[int, tuple[int | None, ...]] = {
    40: (15, 18, 20, 23, 26, 29, 32, 34, 38, 41, 43, 46, 48, 51),
    45: (13, 16, 18, 21, 24, 27, 30, 33, 36, 39, 41, 44, 46, 49),
    50: (11, 14, 16, 19, 22, 25, 28, 31, 34, 37, 39, 42, 44, 47),
    55: (9, 12, 14, 17, 20, 23, 27, 30, 33, 36, 38, 40, 42, 44),
    60: (7, 10, 12, 15, 18, 21, 24, 27, 30, 33, 35, 38, 40, 43),
    65: (None, 6, 10, 13, 16, 19, 21, 24, 27, 30, 33, 36, 38, 41),
    70: (None, None, 7, 10, 13, 16, 19, 21, 24, 27, 30, 33, 36, 39),
    75: (None, None, None, 6, 9, 12, 15, 18, 21, 24, 28, 31, 34, 37),
    80: (None, None, None, None, 5, 8, 12, 15, 18, 21, 25, 28, 31, 35),
    85: (None, None, None, None, None, None, 8, 11, 15, 19, 22, 26, 30, 33),
    90: (None, None, None, None, None, None, 5, 9, 13, 16, 20, 24, 27, 31),
    95: (None, None, None, None, None, None, None, 6, 10, 14, 18, 22, 25, 29),
    100: (None, None, None, None, None, None, None, None, 8, 12, 16, 21, 24, 28),
    105: (None, None, None, None, None, None, None, None, 5, 9, 13, 17, 22, 26),
    110: (None, None, None, None, None, None, None, None, None, 6, 11, 15, 20, 25),
    115: (None, None, None, None, None, None, None, None, None, None, 8, 14, 18, 24),
}
