"""Compares our cover solver with HiGHS and CP-SAT on covers, in one run.

    python3 tests/bench/compare_covers.py DIR SECONDS

DIR holds files of the form `cover-1` or of OR-Library (`scp*.txt`); SECONDS limits each solver on
each file. Ours runs through `cargo bench --bench solvers` on the same files;
the peers are highspy and ortools of PyPI. Each gets two threads.
Fewest columns first, then least cost among those: the peers solve one after the other, the second
with the count of the first as a limit and its columns as a start. The files of OR-Library ask for
least cost alone. CP-SAT runs with one worker and with two, both at linearization_level 2, and the
better counts; where one worker proves the count, two get no longer than that took. Seconds of the
peers are of solving alone, without building the model. CP-SAT counts costs in hundredths, so costs
are compared to a hundredth a column. `*` marks what was not proven in time.
"""

import json
import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

import highspy
import numpy
from ortools.sat.python import cp_model

THREADS = 2
LINEARIZATION_LEVEL = 2


class Result:
    """What a solver found; `counted` is the seconds until it had proven the figure compared, the
    count or, of OR-Library, the cost."""

    def __init__(self, count, bound, cost, seconds, proven, counted=None):
        self.count, self.bound, self.cost = count, bound, cost
        self.seconds, self.proven = seconds, proven
        self.counted = seconds if proven and counted is None else counted

    def text(self):
        return f"{self.seconds:9.3f}{' ' if self.proven else '*'}"


def read(path):
    if path.suffix == ".json":
        return json.loads(path.read_text(encoding="utf-8"))
    numbers = iter(map(int, path.read_text(encoding="ascii").split()))
    n_rows, n_columns = next(numbers), next(numbers)
    columns = [{"cost": next(numbers)} for _ in range(n_columns)]
    rows = [
        {"need": 1, "columns": [next(numbers) - 1 for _ in range(next(numbers))]}
        for _ in range(n_rows)
    ]
    return {"columns": columns, "rows": rows, "fixed": [], "objective": "cost"}


def ours(folder, seconds):
    told = {"BENCH_DATA": str(folder), "BENCH_SECONDS": str(seconds)}
    told["BENCH_THREADS"] = str(THREADS)
    command = ["cargo", "bench", "--quiet", "--bench", "solvers"]
    run = subprocess.run(command, env=os.environ | told, capture_output=True, text=True, check=True)
    lines = [json.loads(line) for line in run.stdout.splitlines() if line.startswith("{")]
    return {
        line["instance"]: Result(
            line["found"], line["bound"], line["cost"], line["seconds"], line["proven"]
        )
        for line in lines
    }


def highs(cover, seconds):
    columns, rows = cover["columns"], cover["rows"]
    solver = highspy.Highs()
    solver.silent()
    for option, value in [("threads", THREADS), ("mip_rel_gap", 0.0), ("mip_abs_gap", 1e-6)]:
        solver.setOptionValue(option, value)
    every = numpy.arange(len(columns), dtype=numpy.int32)
    least = numpy.zeros(len(columns))
    least[cover["fixed"]] = 1.0
    solver.addVars(len(columns), least, numpy.ones(len(columns)))
    kinds = numpy.full(len(columns), highspy.HighsVarType.kInteger)
    solver.changeColsIntegrality(len(columns), every, kinds)
    for row in rows:
        of = numpy.array(sorted(set(row["columns"])), dtype=numpy.int32)
        solver.addRow(row["need"], highspy.kHighsInf, len(of), of, numpy.ones(len(of)))

    def stage(costs, left):
        solver.changeColsCost(len(columns), every, costs)
        solver.setOptionValue("time_limit", solver.getRunTime() + max(left, 0.01))
        start = time.perf_counter()
        solver.run()
        took = time.perf_counter() - start
        info = solver.getInfo()
        proven = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        return info.objective_function_value, info.mip_dual_bound, took, proven

    costs = numpy.array([column["cost"] for column in columns], dtype=float)
    if cover["objective"] == "cost":
        cost, bound, took, proven = stage(costs, seconds)
        return Result(cost, bound, cost, took, proven)
    found, bound, first, proven = stage(numpy.ones(len(columns)), seconds)
    if not proven:
        return Result(found, bound, None, first, False)
    count = round(found)
    start = solver.getSolution()
    solver.addRow(0, count, len(columns), every, numpy.ones(len(columns)))
    solver.setSolution(start)
    cost, _, second, proven = stage(costs, seconds - first)
    return Result(count, count, cost, first + second, proven, first)


def cp_sat(cover, seconds, workers):
    columns = cover["columns"]
    model = cp_model.CpModel()
    chosen = [model.new_bool_var("") for _ in columns]
    for place in cover["fixed"]:
        model.add(chosen[place] == 1)
    for row in cover["rows"]:
        of = [chosen[place] for place in sorted(set(row["columns"]))]
        if row["need"] == 1:
            model.add_bool_or(of)
        else:
            model.add(sum(of) >= row["need"])

    def stage(left):
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = workers
        solver.parameters.linearization_level = LINEARIZATION_LEVEL
        solver.parameters.max_time_in_seconds = max(left, 0.01)
        start = time.perf_counter()
        status = solver.solve(model)
        took = time.perf_counter() - start
        return solver, status, took

    by_cost = sum(round(100 * c["cost"]) * one for c, one in zip(columns, chosen))
    if cover["objective"] == "cost":
        model.minimize(by_cost)
        solver, status, took = stage(seconds)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Result(None, None, None, took, False)
        cost, bound = solver.objective_value / 100, solver.best_objective_bound / 100
        return Result(cost, bound, cost, took, status == cp_model.OPTIMAL)
    model.minimize(sum(chosen))
    solver, status, first = stage(seconds)
    if status != cp_model.OPTIMAL:
        found = solver.objective_value if status == cp_model.FEASIBLE else None
        return Result(found, solver.best_objective_bound, None, first, False)
    count = round(solver.objective_value)
    for one in chosen:
        model.add_hint(one, solver.value(one))
    model.add(sum(chosen) <= count)
    model.minimize(by_cost)
    solver, status, second = stage(seconds - first)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Result(count, count, None, first + second, False, first)
    cost = sum(c["cost"] for c, one in zip(columns, chosen) if solver.value(one))
    return Result(count, count, cost, first + second, status == cp_model.OPTIMAL, first)


def best_cp_sat(cover, seconds):
    """The better result of one worker and of two, and how many workers it had."""
    alone = cp_sat(cover, seconds, 1)
    together = cp_sat(cover, alone.counted or seconds, THREADS)
    results = [(alone, 1), (together, THREADS)]
    never = float("inf")
    return min(
        results,
        key=lambda one: (
            not one[0].proven,
            one[0].counted or never,
            one[0].count or never,
            one[0].seconds,
        ),
    )


def differ(one, other):
    """Whether two results are not the same where both are proven, or an unproven one beats a
    proven one."""
    if not one.proven or other.count is None:
        return False
    if other.counted is not None and round(one.count) != round(other.count):
        return True
    if not other.proven:
        return round(other.count) < round(one.count)
    return abs(one.cost - other.cost) > 0.01 * (1 + one.count)


def main():
    folder, seconds = Path(sys.argv[1]).resolve(), float(sys.argv[2])
    ratios, to_counts, wrong, unproven, seconds_of = [], [], [], [], [0.0, 0.0, 0.0]
    found_by = [[0, 0, 0], [0, 0, 0]]
    mine = ours(folder, seconds)
    print("instance            found  bound   ours s   HiGHS s    CP-SAT s (workers, found)  ratio")
    for name, our in sorted(mine.items()):
        cover = read(folder / name)
        if cover.get("allowances"):
            print(f"{name:20} left out: the peers are not told of rows that may stay short")
            continue
        peer = highs(cover, seconds)
        sat, workers = best_cp_sat(cover, seconds)
        for told, one in zip(found_by, (peer, sat)):
            told[0] += one.proven
            told[1] += one.counted is not None
            told[2] += one.count is not None and round(one.count) == round(our.count)
        fastest = min((one.seconds for one in (peer, sat) if one.proven), default=seconds)
        ratio = our.seconds / fastest
        counts = (one.counted for one in (peer, sat) if one.counted is not None)
        to_counts.append(our.seconds / min(counts, default=seconds))
        for place, one in enumerate((our, peer, sat)):
            seconds_of[place] += one.seconds
        if our.proven:
            ratios.append(ratio)
        else:
            unproven.append(name)
            ratios.append(float("inf"))
        wrong += [name] if differ(our, peer) or differ(our, sat) else []
        print(
            f"{name:20}{our.count:5.0f}  {our.bound:5.0f}  {our.text()} {peer.text()} "
            f"{sat.text()} ({workers}, {sat.count or 0:.0f})      {ratio:7.3f}",
            flush=True,
        )
    print("seconds in all: ours {:.2f}, HiGHS {:.2f}, CP-SAT {:.2f}".format(*seconds_of))
    print(f"median ratio {statistics.median(ratios):.3f}, worst {max(ratios):.3f}")
    print(f"ours in all beside a peer's count alone: median {statistics.median(to_counts):.3f}")
    for name, (proven, counted, same) in zip(("HiGHS", "CP-SAT"), found_by):
        print(
            f"{name}: {proven} proven, {counted} at least of count, "
            f"{same} of {len(mine)} with our figure"
        )
    print(f"not proven by us: {', '.join(unproven) or 'none'}")
    print(f"optima that differ: {', '.join(wrong) or 'none'}")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
