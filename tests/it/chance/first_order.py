"""Writes first_order.csv: first-order spreads from the Python package uncertainties 3.2.

Size of a board after a change of moisture, and two products, each with small
spreads, so that first order is right to a few parts in a thousand.
"""

import csv
import sys

from uncertainties import ufloat


def size_after(width, shrinkage, start, end):
    def ratio(moisture):
        return 1 - shrinkage / 100 * (30 - moisture) / 30

    return width * ratio(end) / ratio(start)


rows = []
for width, shrinkage, start, end in [(300, 10.5, 8, 12), (500, 7.1, 12, 6), (120, 5.6, 9, 7)]:
    inputs = [(width, 0.25), (shrinkage, 0.05 * shrinkage), (start, 0.5), (end, 0.4)]
    answer = size_after(*(ufloat(*each) for each in inputs))
    rows.append(["size_after", *[n for each in inputs for n in each], answer.n, answer.s])
for a, b, c in [(10, 4, 2), (1.5, 20, 3)]:
    inputs = [(a, 0.02 * a), (b, 0.03 * b), (c, 0.01 * c), (0, 0)]
    x, y, z = (ufloat(*each) for each in inputs[:3])
    answer = x * y / z**3
    rows.append(["product", *[n for each in inputs for n in each], answer.n, answer.s])

out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow(["case", "m1", "s1", "m2", "s2", "m3", "s3", "m4", "s4", "mean", "deviation"])
out.writerows(rows)
