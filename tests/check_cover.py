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
    rows = cover["rows"]
    short = {i for i, row in enumerate(rows) if len(chosen & set(row["columns"])) < row["need"]}
    short -= {i for i in solution["unmet"] if len(set(rows[i]["columns"])) < rows[i]["need"]}
    for one in cover.get("allowances", []):
        left = sum(weight for row, weight in zip(one["rows"], one["weights"]) if row in short)
        short -= set(one["rows"]) if left <= one["most"] else set()
    assert not short, f"{path}: rows {[rows[i]['id'] for i in short]} are not met"
    cost = sum(columns[place]["cost"] for place in chosen)
    assert solution["count"] == len(chosen) >= solution["count_bound"], f"{path}: count"
    assert abs(solution["cost"] - cost) < 1e-6 * (1 + cost), f"{path}: cost {cost}"
    print(f"{path}: {len(chosen)} columns, at least {solution['count_bound']}, cost {cost:.2f}")
