"""Draws the years of twenty plans again with numpy, every other one of three places, all years of a plan side by side: the weather by its published distributions
and memories, the two wells by their own equations, loads cut at their limits. What a bank, its loads and the panels are at each
warmth is taken as told. Compares the days short, and tells both times."""

import json
import sys
import time

import numpy as np
from scipy.optimize import brentq
from scipy.stats import norm

LEAST, MEMORY = 0.05, 0.29
# The stream of warmth, its memory (Richardson 1981), and how many warmths there are: quarters of a score up to 3 either way.
WARM, WARM_MEMORY, WARMTHS = 0x0077A293, 0.705, 25
# The stream of the climate table's own error, and what it leaves of a day's clearness at least and at most.
TABLE, LEAST_LEFT, MOST_CLEARNESS = 0x0071AB1E, 0.05, 0.95
# Half a day a year, or as much of a mean as an hour's worth of model can tell.
WITHIN_DAYS, WITHIN_SHARE = 0.5, 0.03


def words(state):
    """SplitMix64 (Steele, Lea & Flood 2014): the next state and word of each stream."""
    state = state + np.uint64(0x9E3779B97F4A7C15)
    z = (state ^ (state >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return state, z ^ (z >> np.uint64(31))


def remembered(fresh, memory):
    """Scores of the days but the first by what is new in each, a row a day."""
    for day in range(1, len(fresh)):
        fresh[day] = memory * fresh[day - 1] + np.sqrt(1 - memory**2) * fresh[day]
    return fresh[1:]


def drawn(seed, years, days):
    """A word for each day of each year and for the day before the first; the years of a pair share theirs."""
    nth = np.arange(years, dtype=np.uint64) // np.uint64(2)
    _, state = words(np.uint64(seed) ^ (nth * np.uint64(0xA24BAED4963EE407)))
    rows = np.empty((days + 1, years), dtype=np.uint64)
    for row in rows:
        state, row[:] = words(state)
    return rows


def mirrored(score):
    """Every other year the mirror of the one before it."""
    return score * np.where(np.arange(score.shape[1]) % 2, -1.0, 1.0)


def scores(seed, years, days):
    """Gaussian scores of clearness with their memory."""
    share = ((drawn(seed, years, days) >> np.uint64(11)).astype(float) + 0.5) / 2.0**53
    return mirrored(remembered(norm.ppf(share), MEMORY))


def table_scores(seed, years):
    """A Gaussian score of each year for the climate table's own error."""
    share = ((drawn(seed ^ TABLE, years, 0) >> np.uint64(11)).astype(float) + 0.5) / 2.0**53
    return mirrored(norm.ppf(share))[0]


def warmths(seed, years, days):
    """Scores of warmth with theirs, in quarters, and their places: four even parts of a word summed are nearly normal."""
    word = drawn(seed ^ WARM, years, days)
    parts = [(word >> np.uint64(16 * nth)) & np.uint64(0xFFFF) for nth in range(4)]
    score = remembered((sum(part.astype(float) for part in parts) - 2 * 0xFFFF) / 65536 * np.sqrt(3), WARM_MEMORY)
    warm = mirrored(np.clip(np.floor((score + 3) * 4 + 0.5), 0, WARMTHS - 1) / 4 - 3)
    return warm, ((warm + 3) * 4).astype(int)


def clearness(mean, score):
    """Bendt, Collares-Pereira & Rabl (1981); Duffie & Beckman eqs. 2.9.4 to 2.9.7, with gamma solved for the mean."""
    most = 0.6313 + 0.267 * mean - 11.9 * (mean - 0.75) ** 8
    if not (0.10 <= mean <= 0.80 and LEAST < mean < most):
        return np.full_like(score, mean)
    wanted = (mean - LEAST) / (most - LEAST)
    x = brentq(lambda x: 0.5 + x / 12 - wanted if abs(x) < 1e-4 else -1 / np.expm1(-x) - 1 / x - wanted, -700, 700)
    share = norm.cdf(score)
    if x > 0:
        return most + np.log(share + (1 - share) * np.exp(-x)) * (most - LEAST) / x
    return LEAST + np.log(1 - share + share * np.exp(x)) * (most - LEAST) / x


def step(tank, hours, available, total, current):
    """Manwell & McGowan (1993): the wells after some hours at a current, positive on discharge."""
    kept = np.exp(-tank["k"] * hours)
    beyond = tank["k"] * hours - 1 + kept
    rest = available * kept + total * tank["c"] * (1 - kept)
    per_ampere = ((1 - kept) + tank["c"] * beyond) / tank["k"]
    return rest - current * per_ampere, total - current * hours, per_ampere


def live(case, years):
    """Days short in each year."""
    days = len(case["seasons"])
    weather = scores(case["weather"], years, days)
    table = table_scores(case["weather"], years)
    warm, place = warmths(case["weather"], years, days)
    light = np.array(case["light_w"])
    use = np.array(case["use_w"])
    # Seasons: the months of each place in turn. Profiles of use: the seasons of each kind of day, at each warmth or at one alone.
    seasons = len(case["clearness"])
    profiles = 4 * seasons if len(use) > 4 * seasons else 0
    kinds = np.repeat(np.array(case["kinds"]), 4, axis=0)[:years]
    tank = case["tank"]
    by_warmth = {name: np.array(row) for name, row in case["warmths"].items()}
    total = np.full(years, tank["q_max"])
    available = tank["c"] * total
    cut = np.zeros(years, dtype=bool)
    short_days = np.zeros(years, dtype=int)
    points = np.linspace(0, 1, len(tank["rest_v"]))
    rest_v, efficiency = np.array(tank["rest_v"]), np.array(tank["efficiency"])
    for day in range(days):
        season = case["seasons"][day]
        its = season * WARMTHS + place[day]
        most_in, hard, reserve, leaks = (by_warmth[name][its] for name in ("most_in", "hard", "reserve", "leak"))
        left = np.maximum(1 + case["table_error"][season] * table, LEAST_LEFT)
        k = np.minimum(clearness(case["clearness"][season], weather[day]) * left, MOST_CLEARNESS)
        along = k / 0.05
        below = np.minimum(along.astype(int), 18)
        row = case["stretches"][day] * 20 + below
        share = (along - below)[:, None]
        scale = case["scales"][day] * (1 + case["sun_by_warmth"][season] * warm[day])
        sun = scale[:, None] * (light[row] * (1 - share) + light[row + 1] * share)
        wants = use[place[day] * profiles + kinds[:, day] * seasons + season]
        back = np.maximum(reserve, hard + 0.05 * tank["capacity"])
        short = np.zeros(years, dtype=bool)
        for hour in range(24):
            short |= cut & (wants[:, hour] > 0)
            net = sun[:, hour] - np.where(cut, 0, wants[:, hour])
            soc = np.clip(1 - (tank["q_max"] - total) / tank["capacity"], 0, 1)
            leak = leaks * total
            given = np.maximum(-net, 0) / tank["volts"]
            taken = np.minimum(np.maximum(net, 0) / tank["charging_v"], most_in) * np.interp(soc, points, efficiency)
            rest, _, per_ampere = step(tank, 1.0, available, total, 0.0)
            taken = np.minimum(taken, np.maximum(tank["c"] * tank["q_max"] - rest, 0) / per_ampere + leak)
            current = given + leak - taken
            then_available, then_total, _ = step(tank, 1.0, available, total, current)
            # The charge at which a limit is met under this current: the hard line, or where the voltage sags to the cut-off.
            sag = tank["cutoff_v"] + given * tank["ohm"]
            by_voltage = tank["q_max"] - (1 - np.interp(sag, rest_v, points, left=0, right=9)) * tank["capacity"]
            line = np.maximum(hard, by_voltage)
            meets = (given > 0) & ((then_total < line) | (then_available < 0))
            if meets.any():
                drop = np.maximum(total - then_total, 1e-12)
                until = np.clip((total - line) / drop, 0, 1)
                emptied = np.clip(available / np.maximum(available - then_available, 1e-12), 0, 1)
                until = np.where(then_available < 0, np.minimum(until, emptied), until)
                a, t, _ = step(tank, until, available, total, current)
                spare = np.minimum(sun[:, hour] / tank["charging_v"], most_in) * np.interp(soc, points, efficiency)
                a, t, _ = step(tank, 1 - until, a, t, leak - spare)
                then_available = np.where(meets, a, then_available)
                then_total = np.where(meets, t, then_total)
                short |= meets & (until < 1 - 1e-9)
                cut |= meets
            available, total = np.maximum(then_available, 0), then_total
            cut &= total < back
        short_days += short
    return short_days


def main():
    told = json.load(sys.stdin)
    years, off, ours, lanes, theirs = told["years"], [], 0.0, 0.0, 0.0
    for case in told["cases"]:
        start = time.perf_counter()
        with np.errstate(over="ignore"):
            found = live(case, years).mean()
        theirs += time.perf_counter() - start
        ours += case["plainly_s"]
        lanes += case["abreast_s"]
        difference = abs(found - case["days"])
        off.append(difference - max(WITHIN_DAYS, WITHIN_SHARE * found))
        print(f"plan {case['seed']}: {case['days']:.2f} days short a year, by numpy {found:.2f}")
    hours = years * 8760 * len(off) / 1e9
    print(
        f"{len(off)} plans, {years} years each, an hour: numpy {theirs / hours:.1f} ns, ours one by one {ours / hours:.1f} ns"
        f" ({theirs / ours:.0f} times quicker), abreast {lanes / hours:.1f} ns ({theirs / lanes:.0f} times)"
    )
    missed = sum(1 for beyond in off if beyond > 0)
    if len(off) < 20 or missed:
        sys.exit(f"{missed} of {len(off)} plans differ by more than {WITHIN_DAYS} days and {WITHIN_SHARE:.0%}")


main()
