"""Judges lockers and the core's answers with a general-purpose constraint solver, which knows nothing of the core.

Reads what `lockers write N` printed. For each locker it asks whether the stated number of cases can be placed, and
whether one more cannot. Prints one line; leaves with 1 where it disagrees anywhere.
"""

import json
import sys

from ortools.sat.python import cp_model

MOST = 8


def turnings(row):
    """Ways to lie: own size, and room taken with the terminal gap along the axis that the terminals look."""
    long, wide, high = (round(mm) for mm in row["case_mm"])
    lug = round(row["terminal_gap_mm"])
    ways = [(long, wide, high + lug), (wide, long, high + lug)]
    if row["turning"] >= 1:
        ways += [(long, high + lug, wide), (high + lug, long, wide)]
    if row["turning"] >= 2:
        ways += [(wide, high + lug, long), (high + lug, wide, long)]
    return ways


def can_hold(row, count, seconds=60.0):
    """Whether so many cases stand on the floor, clear of all by the side gap: True, False, or None where time ran out."""
    gap = round(row["side_gap_mm"])
    inside = [round(mm) for mm in row["inside_mm"]]
    ways = turnings(row)
    model = cp_model.CpModel()
    cases = []
    for number in range(count):
        way = [model.new_bool_var(f"way {number} {at}") for at in range(len(ways))]
        model.add_exactly_one(way)
        at = [model.new_int_var(0, inside[axis], f"at {number} {axis}") for axis in range(2)]
        size = [sum(way[k] * ways[k][axis] for k in range(len(ways))) for axis in range(3)]
        for axis in range(2):
            model.add(at[axis] >= gap)
            model.add(at[axis] + size[axis] + gap <= inside[axis])
        model.add(size[2] <= inside[2])
        cases.append((at, size))
    for number, (at, size) in enumerate(cases):
        for thing_at, thing_size in row["obstacles"]:
            start = [round(mm) for mm in thing_at]
            end = [round(a + s) for a, s in zip(thing_at, thing_size)]
            if end[2] <= 0:
                continue
            apart = [model.new_bool_var("") for _ in range(5)]
            model.add_bool_or(apart)
            model.add(at[0] + size[0] + gap <= start[0]).only_enforce_if(apart[0])
            model.add(end[0] + gap <= at[0]).only_enforce_if(apart[1])
            model.add(at[1] + size[1] + gap <= start[1]).only_enforce_if(apart[2])
            model.add(end[1] + gap <= at[1]).only_enforce_if(apart[3])
            model.add(size[2] <= start[2]).only_enforce_if(apart[4])
        for other_at, other_size in cases[:number]:
            apart = [model.new_bool_var("") for _ in range(4)]
            model.add_bool_or(apart)
            for axis in range(2):
                model.add(at[axis] + size[axis] + gap <= other_at[axis]).only_enforce_if(apart[2 * axis])
                model.add(other_at[axis] + other_size[axis] + gap <= at[axis]).only_enforce_if(apart[2 * axis + 1])
        if number:
            # The cases are alike, so they may be numbered from the left.
            model.add(cases[number - 1][0][0] <= at[0])
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return True
    return False if status == cp_model.INFEASIBLE else None


def main():
    rows = json.load(sys.stdin)
    wrong, open_ = [], 0
    by_count = [0] * (MOST + 1)
    for number, row in enumerate(rows):
        most = row["most"]
        by_count[most] += 1
        held = most == 0 or can_hold(row, most)
        more = most < MOST and row["exact"] and can_hold(row, most + 1)
        if held is False or more is True:
            wrong.append(number)
        elif held is None or more is None or not row["exact"]:
            open_ += 1
    settled = len(rows) - len(wrong) - open_
    # Fewer than 200 settled would prove too little.
    well = not wrong and settled >= 200
    print(f"\nA second solver on lockers that hold 0 to 8 cases, so many of each: {by_count}; disagreements: {wrong}; left open: {open_}")
    print(f"test result: {'ok' if well else 'FAILED'}. {settled} passed; {len(wrong)} failed")
    sys.exit(0 if well else 1)


main()
