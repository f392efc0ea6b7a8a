"""PSS-78 and EOS-80 at the sea surface, written out as a second opinion on gsw.

Fofonoff & Millard (1983), UNESCO Tech. Pap. Mar. Sci. 44; temperatures on IPTS-68.
Coefficients of the salinity seen in two R packages; those of its pressure term and of EOS-80
from memory, then held against the printed check values by the tests that use them.
"""

from math import sqrt


def practical_salinity(ratio: float, t68_c: float, pressure_dbar: float) -> float:
    p, t = pressure_dbar, t68_c
    pressure_ratio = 1 + p * (2.070e-5 - 6.370e-10 * p + 3.989e-15 * p * p) / (
        1 + 3.426e-2 * t + 4.464e-4 * t * t + (4.215e-1 - 3.107e-3 * t) * ratio
    )
    standard = _polynomial(t, 0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9)
    root = sqrt(ratio / (standard * pressure_ratio))
    main = _polynomial(root, 0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081)
    warm = _polynomial(root, 0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144)
    return main + (t - 15) / (1 + 0.0162 * (t - 15)) * warm


def density_kg_m3(salinity: float, t68_c: float) -> float:
    t = t68_c
    pure = _polynomial(
        t, 999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9
    )
    first = _polynomial(t, 8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
    second = _polynomial(t, -5.72466e-3, 1.0227e-4, -1.6546e-6)
    return pure + first * salinity + second * salinity * sqrt(salinity) + 4.8314e-4 * salinity**2


def _polynomial(x: float, *coefficients: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total
