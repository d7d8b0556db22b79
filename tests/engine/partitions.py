"""`heartside batch` as a filter of partitions under Dask, a distributed engine.

    python partitions.py PROGRAM BOARDS.csv OUT.csv [--scheduler tcp://HOST:8786] [--workers 3] [--mebibytes 16]

The table is cut at line ends into partitions. Each goes to a worker, in which a process of PROGRAM answers it: the first
partition with its line of names, the others with `--columns`. What comes back is written in the order of the partitions, so that
OUT.csv has the bytes of one process. Without a scheduler some workers of this machine are started; with one, PROGRAM and
BOARDS.csv must be found on every worker's machine under the same path.
"""
import argparse
import os
import signal
import subprocess
import sys

from dask.bytes import read_bytes
from distributed import Client, LocalCluster


class Unanswerable(Exception):
    """The program refused a partition."""


def answer(block, program, columns):
    """The rows of a partition with their answers, and the words about rows without one."""
    named = ["--columns", columns] if columns else []
    done = subprocess.run([program, "batch", "--threads", "1", *named], input=block, capture_output=True)
    words = done.stderr.decode()
    # Code 2 with every row back: no row of this partition has an answer, those of others may.
    if done.returncode not in (0, 2) or len(done.stdout) < len(block):
        raise Unanswerable(words)
    return done.stdout, words


def names(path):
    """The line of names as `--columns` takes it."""
    with open(path, "rb") as table:
        return table.readline().decode("utf-8-sig").rstrip("\r\n")


def kill_one(client):
    """Ends a worker in the middle of its work, as a machine that fails would."""
    pids = client.run(os.getpid)
    os.kill(next(iter(pids.values())), signal.SIGKILL)


def main():
    given = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    given.add_argument("program")
    given.add_argument("boards")
    given.add_argument("out")
    given.add_argument("--scheduler")
    given.add_argument("--workers", type=int, default=3)
    given.add_argument("--mebibytes", type=float, default=16.0)
    given.add_argument("--lose-a-worker", action="store_true", help="end one worker in the middle, as a test")
    given = given.parse_args()
    program, boards = os.path.abspath(given.program), os.path.abspath(given.boards)

    cluster = given.scheduler or LocalCluster(
        n_workers=given.workers, threads_per_worker=1, processes=True, dashboard_address=None
    )
    with Client(cluster) as client, open(given.out, "wb") as out:
        _, [blocks] = read_bytes(
            boards, delimiter=b"\n", blocksize=int(given.mebibytes * 2**20), sample=False
        )
        columns = names(boards)
        workers = max(1, len(client.scheduler_info(n_workers=-1)["workers"]))
        # Only a few partitions are on their way at once: memory stays the same however long the table is.
        waiting, next_block, lost, silent = [], 0, not given.lose_a_worker, 0
        while waiting or next_block < len(blocks):
            while next_block < len(blocks) and len(waiting) < 2 * workers:
                block = client.compute(blocks[next_block])
                named = columns if next_block else None
                waiting.append(client.submit(answer, block, program, named, pure=False))
                next_block += 1
            if not lost:
                kill_one(client)
                lost = True
            rows, words = waiting.pop(0).result()
            out.write(rows)
            silent += bool(words)
            if words and silent <= 3:
                print(f"partition {next_block - len(waiting)}, its own lines: {words.strip()}", file=sys.stderr)
        print(f"{len(blocks)} partitions, {workers} workers" + (", one of them lost" if given.lose_a_worker else ""))


if __name__ == "__main__":
    main()
