"""Volume correction of lubricating oil in the 60 degree Fahrenheit form of API MPMS chapter 11.1, for
expansion.csv: another base temperature and another constant than the program uses.

Made with Python 3.11, standard library only:
    python expansion.py > expansion.csv

VCF60 = exp(-a*dT*(1 + 0.8*a*dT)), a = K1/rho60, dT = t - 60 F, K1 = 0.34878 kg/(m3 F) for lubricating oils.
The table gives the ratio of the volumes at two temperatures, in which the base drops out; the density at 15
degrees Celsius follows from the one at 60 F by the same formula (the two bases are 1 F apart).
"""

from decimal import Decimal as D, getcontext

getcontext().prec = 40


def vcf(rho60, fahrenheit):
    x = D("0.34878") / rho60 * (fahrenheit - 60)
    return (-x * (1 + D("0.8") * x)).exp()


print("density_15_kg_m3,from_c,to_c,volume_ratio")
for rho60 in (D(800), D(830), D(850), D(870), D(890), D(920)):
    rho15 = rho60 * vcf(rho60, D(59))
    for start in (D(0), D(15), D(20), D(30)):
        for end in (D(-10), D(0), D(20), D(40), D(50), D(60), D(80), D(100)):
            ratio = vcf(rho60, start * 9 / 5 + 32) / vcf(rho60, end * 9 / 5 + 32)
            print(f"{rho15:.6f},{start},{end},{ratio:.9f}")
