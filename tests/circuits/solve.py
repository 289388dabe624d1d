"""Solves again, in another way, what the core has solved, and prints the worst difference.

The core eliminates node voltages. Here the unknowns are the branch currents and the node voltages together: one row a branch
(Ohm's law), one row a node (what comes in goes out), in numpy.
"""

import json
import sys

import numpy


def solve(nodes, branches, out_of, into, drawn):
    many = len(branches)
    left = numpy.zeros((many + nodes, many + nodes))
    right = numpy.zeros(many + nodes)
    for at, (start, end, ohm, rise) in enumerate(branches):
        left[at, at] = ohm
        left[at, many + start] -= 1.0
        left[at, many + end] += 1.0
        right[at] = rise
        left[many + start, at] -= 1.0
        left[many + end, at] += 1.0
    right[many + out_of] += drawn
    right[many + into] -= drawn
    # One node is the reference; its balance follows from the others.
    left[many, :] = 0.0
    left[many, many] = 1.0
    right[many] = 0.0
    return numpy.linalg.solve(left, right)[:many]


def bank(case):
    strands, link, drawn = case["strands"], case["link"], case["drawn"]
    count = len(strands)
    if case["take_off"] == "star" and count > 1:
        # Each string has a middle node between its own plus post and the plus bar.
        branches = [(0, 2 + at, ohm, volts) for at, (volts, ohm) in enumerate(strands)]
        branches += [(2 + at, 1, link, 0.0) for at in range(count)]
        return solve(2 + count, branches, 1, 0, drawn)[:count]
    minus = list(range(count))
    plus = [count + at for at in range(count)]
    branches = [(minus[at], plus[at], ohm, volts) for at, (volts, ohm) in enumerate(strands)]
    for at in range(count - 1):
        branches += [(minus[at], minus[at + 1], link, 0.0), (plus[at], plus[at + 1], link, 0.0)]
    middle = (count - 1) // 2
    off = {"one-end": (0, 0), "diagonal": (0, count - 1), "middle": (middle, middle), "star": (0, 0)}
    at_plus, at_minus = off[case["take_off"]]
    return solve(2 * count, branches, plus[at_plus], minus[at_minus], drawn)[:count]


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        written = json.load(file)
    worst = 0.0
    for case in written["banks"]:
        worst = max(worst, float(numpy.max(numpy.abs(bank(case) - case["currents"]))))
    for case in written["circuits"]:
        ours = solve(case["nodes"], case["branches"], case["out_of"], case["into"], case["drawn"])
        # Circuits of a tenth of a milliohm carry many kiloamperes: held by share of the largest current.
        size = max(1.0, float(numpy.max(numpy.abs(ours))))
        worst = max(worst, float(numpy.max(numpy.abs(ours - case["currents"]))) / size)
    count = len(written["banks"]) + len(written["circuits"])
    print(f"{count} random circuits against numpy: worst difference {worst:.1e}")
    good = count == 200 and worst < 1e-9
    print(f"test result: {'ok' if good else 'FAILED'}. {int(good)} passed; {int(not good)} failed;")
    sys.exit(0 if good else 1)


main()
