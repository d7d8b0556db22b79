"""The same work with numpy and scipy, for `compare.rs`: reads the cases that it writes, prints one JSON object.

A case is timed some times; `bash benches/run` makes the environment that this needs.
"""
import json
import sys
import time

import numpy as np
import scipy
from scipy.linalg import lapack, solve_banded
from scipy.special import ndtri
from scipy.stats import qmc


def timed(work, runs):
    """The fastest of some runs, ms, and the last answer: what else the machine does only adds to it."""
    times = []
    for _ in range(runs):
        begun = time.perf_counter()
        answer = work()
        times.append(1e3 * (time.perf_counter() - begun))
    return {"fastest_ms": min(times)}, answer


def board(case):
    """Widths of the cells, m, and what the diffusivities beside a face weigh in its conductance, 1/m."""
    width = np.diff(np.array(case["edges_mm"])) / 1e3
    total = width[:-1] + width[1:]
    return width, 2 * width[1:] / total**2, 2 * width[:-1] / total**2


def rows(case, celsius):
    """Diffusivities at every whole percent of moisture, m2/s, for each temperature."""
    table = np.array(case["diffusivity"])
    place = (celsius - case["first_celsius"]) / case["row_celsius"]
    row = place.astype(int)
    share = (place - row)[:, None]
    return table[row] + share * (table[row + 1] - table[row])


def year_of_hours(case, solve):
    """A function that lets one board live through a year of hours: an implicit step an hour, its tridiagonal system by `solve`.

    It takes the moisture of each cell and gives it a year later, with the mean through the thickness after every hour.
    """
    celsius = np.array(case["celsius"])
    targets = np.array(case["equilibrium_percent"])
    width, below, above = board(case)
    share = width / width.sum()
    store = width / 3600.0
    exchange = case["exchange_m_per_s"]
    hours = rows(case, celsius)
    nodes = np.arange(hours.shape[1], dtype=float)

    def live(moisture):
        means = []
        for row, target in zip(hours, targets):
            d = np.interp(moisture, nodes, row)
            ties = below * d[:-1] + above * d[1:]
            diagonal = store.copy()
            diagonal[:-1] += ties
            diagonal[1:] += ties
            right = store * moisture
            for cell, face in ((0, exchange[0]), (-1, exchange[1])):
                half_cell = 2 * d[cell] / width[cell]
                gate = face * half_cell / (face + half_cell)
                diagonal[cell] += gate
                right[cell] += gate * target
            moisture = solve(ties, diagonal, right)
            means.append(moisture @ share)
        return moisture, means

    return live


def years_of_hours(case, solve):
    """Mean moisture of a board after some years."""
    live = year_of_hours(case, solve)
    moisture = np.full(len(case["edges_mm"]) - 1, case["start_percent"])
    for _ in range(case["years"]):
        moisture, means = live(moisture)
    return float(means[-1])


def settled_year(case, solve):
    """Daily means of the year that repeats: years are lived through until one moves no cell."""
    live = year_of_hours(case, solve)
    end = np.full(len(case["edges_mm"]) - 1, np.mean(case["equilibrium_percent"]))
    moved = np.inf
    while moved > case["closed_percent"]:
        begun = end
        end, means = live(begun)
        moved = np.abs(end - begun).max()
    return np.reshape(means, (-1, 24)).mean(axis=1)


def by_solve_banded(ties, diagonal, right):
    banded = np.zeros((3, len(diagonal)))
    banded[0, 1:] = banded[2, :-1] = -ties
    banded[1] = diagonal
    return solve_banded((1, 1), banded, right, overwrite_ab=True, overwrite_b=True, check_finite=False)


def by_lapack(ties, diagonal, right):
    return lapack.dptsv(diagonal, -ties, right, overwrite_d=True, overwrite_e=True, overwrite_b=True)[2]


def years_of_draws(case):
    """The year of a board in every draw of diffusivity and exchange, all draws side by side in every operation.

    Gives the mean moisture of every day and draw, percent; the years before let the start be forgotten.
    """
    celsius = np.array(case["celsius"])
    targets = np.array(case["equilibrium_percent"])
    width, below, above = board(case)
    steps = case["steps_a_day"]
    store = width / (86_400 / steps)
    diffusivity, surface = np.array(case["factors"]).T
    exchange = [surface * face for face in case["exchange_m_per_s"]]
    days = rows(case, celsius)
    cells, draws = len(width), len(diffusivity)
    moisture = np.full((cells, draws), targets.mean())
    share = width / width.sum()
    means = np.empty((len(days), draws))
    ratio = np.empty((cells, draws))
    for _ in range(1 + case["years_before"]):
        for day, (row, target) in enumerate(zip(days, targets)):
            slope = np.diff(row, append=row[-1])
            sum_of_day = share @ moisture / 2
            for _ in range(steps):
                node = moisture.astype(np.int32)
                d = diffusivity * (row[node] + slope[node] * (moisture - node))
                ties = below[:, None] * d[:-1] + above[:, None] * d[1:]
                diagonal = np.repeat(store[:, None], draws, axis=1)
                diagonal[:-1] += ties
                diagonal[1:] += ties
                moisture *= store[:, None]
                for cell, face in ((0, exchange[0]), (-1, exchange[1])):
                    half_cell = 2 * d[cell] / width[cell]
                    gate = face * half_cell / (face + half_cell)
                    diagonal[cell] += gate
                    moisture[cell] += gate * target
                # Thomas's elimination, a row of all draws at once.
                ratio[0] = ties[0] / diagonal[0]
                moisture[0] /= diagonal[0]
                for i in range(1, cells):
                    pivot = diagonal[i] - ties[i - 1] * ratio[i - 1]
                    if i < cells - 1:
                        np.divide(ties[i], pivot, out=ratio[i])
                    moisture[i] = (moisture[i] + ties[i - 1] * moisture[i - 1]) / pivot
                for i in range(cells - 2, -1, -1):
                    moisture[i] += ratio[i] * moisture[i + 1]
                sum_of_day += share @ moisture
            means[day] = (sum_of_day - share @ moisture / 2) / steps
    return means


def linear_answers(case):
    """Scrambled Sobol points as standard normal numbers, linear answers of them, and the bands of those."""
    weights = np.array(case["weights"])
    points = qmc.Sobol(weights.shape[1], scramble=True, rng=7).random_base2(case["power_of_two"])
    answers = ndtri(points + 2.0**-33) @ weights.T
    return np.quantile(answers, [0.05, 0.5, 0.95], axis=0)


def bands(means):
    return np.quantile(means, [0.05, 0.5, 0.95], axis=1).T.tolist()


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        cases = json.load(file)
    answers = {"numpy": np.__version__, "scipy": scipy.__version__, "python": sys.version.split()[0]}
    for name, solve in (("solve_banded", by_solve_banded), ("lapack", by_lapack)):
        answers[name], mean = timed(lambda: years_of_hours(cases["hours"], solve), 5)
        answers[name]["mean_percent"] = mean
    answers["settled"], means = timed(lambda: settled_year(cases["settled"], by_solve_banded), 7)
    answers["settled"]["means_percent"] = [means[cases["settled"]["days_compared"]].tolist()]
    answers["draws"], means = timed(lambda: years_of_draws(cases["draws"]), 3)
    answers["draws"]["bands_percent"] = bands(means[cases["draws"]["days_compared"]])
    answers["linear"], found = timed(lambda: linear_answers(cases["linear"]), 15)
    answers["linear"]["bands"] = found.T.tolist()
    json.dump(answers, sys.stdout)


main()
