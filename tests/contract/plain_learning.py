"""Learning from checks in plain Python, written from the text at the head of `learning.check`.

It shares nothing with the code but the numbers of a vector: lists and floats, no arrays, as a
device would do it.
"""

from __future__ import annotations

import math

NAMES = ("product", "client", "day")
LOWEST = 3.0


def dot(a, b):
    return sum(x * y for x, y in zip(a, b, strict=True))


def times(matrix, vector):
    return [dot(row, vector) for row in matrix]


class Plain:
    """One vector worked through."""

    def __init__(self, vector):
        self.v, self.n = vector, vector["numbers"]
        self.s2 = self.n["foil_sd"] ** 2
        self.told = (self.n["student_nu"] + 1) / (self.n["student_nu"] + 3)

    def tau(self, t):
        k = self.n["strength_exponent"] * self.n["decay_per_min"]
        fast = k + 1 / self.n["lag_min"]
        return (1 - math.exp(-k * t)) / k - (1 - math.exp(-fast * t)) / fast

    def row(self, hair):
        against = math.log(hair["developer_vol"] * 0.3 / 6.0)
        flags = [float(hair[name]) for name in ("old_colour", "first_cm", "stacked")]
        return [1.0, 1.0, 1.0, *flags, against, 0.0]

    def middle(self, hair):
        white = self.n["old_colour_white"] * (hair["gray_under"] - 0.5)
        known = white if hair["old_colour"] else 0.0
        return self.n["mu"] + dot(self.row(hair), self.n["means"]) + known

    def progress(self, stage, ground):
        gained, stages = ground["gained"], ground["stages"]
        i = next(k for k, value in enumerate(stages) if value >= stage)
        rise = (gained[i] - gained[i - 1]) / (stages[i] - stages[i - 1])
        return gained[i - 1] + rise * (stage - stages[i - 1]), rise

    def observed(self, check, bias):
        ground = self.v["grounds"][check["ground"]]
        way = "dry" if check["rinsed"] else "pinched" if check["dried"] else "wiped"
        share = self.n[f"wet_share_{way}"]
        first = ground["stages"][0] + self.n["start_margin"]
        best = ground["stages"][-1] - self.n["stall_margin"]
        if first >= best:
            return None
        darkest = check["stage"] <= LOWEST
        true = check["stage"] + share * bias + (self.n["start_margin"] if darkest else 0.0)
        bound = 1 if true >= best else -1 if darkest or true <= first else 0
        x, rise = self.progress(min(max(true, first), best), ground)
        slope = 0.0 if bound else share * rise / x
        eye = self.n["reading_sd"] * self.n[f"sureness_{check['sureness']}"]
        step = 0.0 if bound else self.n["call_step"] / math.sqrt(12) * rise / x
        y = math.log(x) - math.log(self.tau(check["minutes"]))
        row = self.row(check["hair"])
        row[-1] = -slope
        return {
            "foil": check["foil"],
            "h": row,
            "z": y - self.middle(check["hair"]) - slope * bias,
            "e": math.hypot(eye, step),
            "b": bound,
            "key": (check["minutes"], check["foil"], bound, y, slope),
            "w": 1.0,
        }

    def move(self, state, h, z, noise):
        p = times(state["c"], h)
        s, v = dot(h, p) + noise, z - dot(h, state["m"])
        state["m"] = [m + a * v / s for m, a in zip(state["m"], p, strict=True)]
        state["c"] = [
            [c - p[i] * p[j] / s for j, c in enumerate(row)] for i, row in enumerate(state["c"])
        ]
        state["q"] += v * v / s
        state["count"] += 1

    def noise(self, one):
        return one["e"] ** 2 / (self.told * one["w"])

    def one_pass(self, seen):
        belief = self.v["belief"]
        state = {"m": belief["mean"], "c": belief["cov"], "q": 0.0, "count": 0}
        foils = list(dict.fromkeys(one["foil"] for one in seen if not one["b"]))
        for foil in foils:
            k = len(state["m"])
            state["m"] = [*state["m"], 0.0]
            state["c"] = [[*row, 0.0] for row in state["c"]] + [[0.0] * k + [self.s2]]
            for one in seen:
                if one["foil"] == foil and not one["b"]:
                    self.move(state, [*one["h"], 1.0], one["z"], self.noise(one))
            state["m"], state["c"] = state["m"][:k], [row[:k] for row in state["c"][:k]]
        sided = [one for one in seen if one["b"]]
        while True:
            after, taken = dict(state), []
            while left := [one for one in sided if one not in taken]:
                worst = max(left, key=lambda one: self.violates(one, after))
                if self.violates(worst, after) <= 0:
                    break
                self.move(after, worst["h"], worst["z"], self.noise(worst) + self.s2)
                taken.append(worst)
            loose = [one for one in taken if self.violates(one, after) <= 0]
            if not loose:
                return after
            sided = [one for one in sided if one not in loose]

    def violates(self, one, state):
        return one["b"] * (one["z"] - dot(one["h"], state["m"])) / one["e"]

    def learnt(self):
        """Mean, covariance and own shares after all checks."""
        belief, nu = self.v["belief"], self.n["student_nu"]
        seen = [self.observed(check, belief["mean"][-1]) for check in self.v["checks"]]
        seen = sorted((one for one in seen if one), key=lambda one: one["key"])
        if not seen:
            return belief["mean"], belief["cov"], []
        widen = 1.0
        for number in range(self.n["passes"]):
            used = [dict(one) for one in seen]
            state = self.one_pass(used)
            if number == 0:
                widen = max(1.0, (nu + state["q"]) / (nu + state["count"]))
            for one in seen:
                r = (one["z"] - dot(one["h"], state["m"])) / math.sqrt(one["e"] ** 2 + self.s2)
                one["w"] = (nu + 1) / (nu + r * r)
        cov = [[c * widen for c in row] for row in state["c"]]
        return state["m"], cov, self.own(used, widen)

    def own(self, used, widen):
        out = []
        for foil in sorted({one["foil"] for one in used if not one["b"]}):
            checks = [one for one in used if one["foil"] == foil and not one["b"]]
            weights = [1 / self.noise(one) for one in checks]
            total = sum(weights)
            whole = total + 1 / self.s2
            pairs = list(zip(weights, checks, strict=True))
            out.append(
                {
                    "foil": foil,
                    "share": total / whole,
                    "row": [
                        sum(w * one["h"][j] for w, one in pairs) / total
                        for j in range(len(checks[0]["h"]))
                    ],
                    "reading": sum(w * one["z"] for w, one in pairs) / total,
                    "sd": math.sqrt(widen / whole),
                }
            )
        return out

    def due(self):
        """Low, middle and high minutes of each foil asked for; None where it never comes."""
        mean, cov, own = self.learnt()
        by_foil = {one["foil"]: one for one in own}
        out = []
        for foil in self.v["foils"]:
            row, more, sd2 = self.row(foil["hair"]), 0.0, self.s2
            if one := by_foil.get(foil["foil"]):
                row = [a - one["share"] * b for a, b in zip(row, one["row"], strict=True)]
                more, sd2 = one["share"] * one["reading"], one["sd"] ** 2
            eta = self.middle(foil["hair"]) + more + dot(row, mean)
            sd = math.sqrt(dot(row, times(cov, row)) + sd2)
            aim = self.aim(foil)
            z = self.n["z90"]
            out.append([self.minutes(eta + k * sd, aim, foil) for k in (z, 0.0, -z)])
        return out

    def aim(self, foil):
        ground = self.v["grounds"][foil["ground"]]
        if foil["aim_stage"] <= ground["stages"][0]:
            return 0.0
        if foil["aim_stage"] > ground["stages"][-1]:
            return math.inf
        return self.progress(foil["aim_stage"], ground)[0]

    def minutes(self, eta, aim, foil):
        """Minutes to the aim by halving, the label's longest time at most; None for never."""
        low, high = 0.0, foil["label_min"]
        if math.isinf(aim):
            return None
        if math.exp(eta) * self.tau(high) < aim:
            return high
        if aim <= 0:
            return 0.0
        for _ in range(self.n["halvings"]):
            middle = (low + high) / 2
            there = math.exp(eta) * self.tau(middle) >= aim
            low, high = (low, middle) if there else (middle, high)
        return high
