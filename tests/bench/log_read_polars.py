"""Reads a log by polars and compares with what the bench log-read has printed: see log_read.sh.

    python3 tests/bench/log_read_polars.py LOG PRINTED
"""

import sys
import time

import polars

RUNS = 9


def main() -> None:
    log, printed = sys.argv[1:]
    ours = {}
    sums = []
    with open(printed, encoding="utf-8") as lines:
        for line in lines:
            key, value, *_ = line.split()
            if key == "sum":
                sums.append(float(value))
            else:
                ours[key] = float(value)
    taken = []
    for _ in range(RUNS):
        start = time.perf_counter()
        frame = polars.read_csv(log)
        taken.append(time.perf_counter() - start)
    for column, ours_sum in zip(frame.columns[1:], sums, strict=True):
        theirs = frame[column].sum()
        assert abs(theirs - ours_sum) <= 1e-6 * abs(theirs), (column, theirs, ours_sum)
    taken.sort()
    shortest, median = taken[0], taken[RUNS // 2]
    print(f"polars {polars.__version__}, {polars.thread_pool_size()} threads: shortest {shortest:.4f}, median {median:.4f}")
    print(f"polars takes {shortest / ours['shortest']:.2f} times as long (shortest), {median / ours['median']:.2f} (median)")


main()
