"""The reference beside `linear_job_of_40_answers` in chance.rs: the same draws and bands with numpy and scipy.

8192 scrambled Sobol points in 120 dimensions as standard normal numbers, 40 linear answers of them, and the 5, 50 and 95 %
quantiles of each. Prints the fastest and the middle of some runs, in milliseconds.
"""
import statistics
import time

import numpy as np
import scipy
from scipy.special import ndtri
from scipy.stats import qmc

INPUTS, ANSWERS, POWER, RUNS = 120, 40, 13, 7


def weights():
    """Weights of every answer: the same simple pattern as in the bench."""
    answer, place = np.meshgrid(np.arange(ANSWERS), np.arange(INPUTS), indexing="ij")
    return ((7 * answer + 3 * place) % 11 - 5.0) / 10.0


def run(of):
    points = qmc.Sobol(INPUTS, scramble=True, rng=7).random_base2(POWER)
    answers = ndtri(points + 2.0**-33) @ of.T
    return np.quantile(answers, [0.05, 0.5, 0.95], axis=0)


def main():
    of = weights()
    times = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        bands = run(of)
        times.append(1e3 * (time.perf_counter() - begun))
    spread = float(np.linalg.norm(of[3]))
    reach = float(bands[2, 3] - bands[0, 3]) / (2 * 1.6448536269514727 * spread)
    print(
        f"numpy {np.__version__}, scipy {scipy.__version__}: fastest {min(times):.1f} ms, "
        f"median {statistics.median(times):.1f} ms; band over exact {reach:.4f}"
    )


main()
