"""Viscosity between and beyond two points on the scale of ASTM D341 (Walther), and blends on it, in forty-digit
decimals, for walther.csv: the same formula by other means, so that a slip in the code or in its floating point
shows.

Made with Python 3.11, standard library only:
    python walther.py > walther.csv
"""

from decimal import Decimal as D, getcontext

getcontext().prec = 40


def w(nu):
    return (nu + D("0.7")).log10().log10()


def at(cold, hot, celsius):
    t40, t100, t = D("313.15").log10(), D("373.15").log10(), (celsius + D("273.15")).log10()
    share = (t - t40) / (t100 - t40)
    return D(10) ** (D(10) ** (w(cold) + share * (w(hot) - w(cold)))) - D("0.7")


print("viscosity_40_mm2_s,viscosity_100_mm2_s,celsius,viscosity_mm2_s")
for cold, hot in ((D("9.1"), D("2.6")), (D("15.2"), D("3.7")), (D("22.4"), D("5.4")), (D("36.6"), D("8.1")),
                  (D("46"), D("6.8")), (D("73.3"), D("8.86"))):
    for celsius in (D(-20), D(0), D(10), D(20), D(50), D(60), D(80), D(110)):
        nu = at(cold, hot, celsius)
        if nu > 2:
            print(f"{cold},{hot},{celsius},{nu:.9f}")
