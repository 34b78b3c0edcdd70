"""Checks exported covers by their own figures alone: python3 tests/check_cover.py cover-*.json

A file holds one cover or a list of them.
"""

import json
import sys


def covers(path):
    read = json.load(open(path, encoding="utf-8"))
    return read if isinstance(read, list) else [read]


for path, cover in [(path, cover) for path in sys.argv[1:] for cover in covers(path)]:
    columns, solution = cover["columns"], cover["solution"]
    chosen = set(solution["chosen"])
    assert chosen >= set(cover["fixed"]), f"{path}: a fixed column is not chosen"
    for place, row in enumerate(cover["rows"]):
        possible = len(set(row["columns"]))
        met = len(chosen & set(row["columns"])) >= row["need"]
        hopeless = place in solution["unmet"] and possible < row["need"]
        assert met or hopeless, f"{path}: row {row['id']} is not met"
    cost = sum(columns[place]["cost"] for place in chosen)
    assert solution["count"] == len(chosen) >= solution["count_bound"], f"{path}: count"
    assert abs(solution["cost"] - cost) < 1e-6 * (1 + cost), f"{path}: cost {cost}"
    print(f"{path}: {len(chosen)} columns, at least {solution['count_bound']}, cost {cost:.2f}")
