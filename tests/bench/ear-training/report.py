"""Figures of a validation run, and the thresholds that the program uses."""

from __future__ import annotations

import sys

import numpy as np
from numpy.typing import NDArray

from features import FAST_FIRST
from hands import GLOBALS, KINDS

Floats = NDArray[np.float64]
RIGHT = GLOBALS.index("right")
NEAR = 3
"""Fast frames to each side of the likeliest one that share in the moment."""


def wilson(k: int, n: int) -> str:
    """Share with its 95 % interval after Wilson (1927)."""
    if n == 0:
        return "none"
    z, p = 1.96, k / n
    half = z * np.sqrt(p * (1 - p) / n + z * z / 4 / n / n)
    low, high = ((p + z * z / 2 / n + s * half) / (1 + z * z / n) for s in (-1, 1))
    return f"{100 * p:.2f} % ({k}/{n}; {100 * low:.1f}–{100 * high:.1f})"


def moment(when: Floats) -> Floats:
    """Seconds from the reference: the middle of the weight around the likeliest frame."""
    frames = when[:, :-1]
    weight = np.exp(frames - frames.max(1, keepdims=True))
    k = np.arange(frames.shape[1])
    near = np.abs(k[None] - weight.argmax(1)[:, None]) <= NEAR
    return (weight * near * (k * 0.004 + FAST_FIRST)).sum(1) / (weight * near).sum(1)


def tones(pitch: Floats, score: NDArray[np.uint8]) -> tuple[Floats, Floats, Floats]:
    """Log odds of the weakest due string, the weakest due tone, and the strongest tone that is not due."""
    struck = pitch[:, :, 0].astype(float)
    due = score[:, 0] > 0
    string = np.where(due, struck, 99).min(1)
    names = np.arange(struck.shape[1]) % 12
    best = np.full((len(struck), 12), -99.0)
    wanted = np.zeros((len(struck), 12), bool)
    for name in range(12):
        at = names == name
        best[:, name] = np.where(due[:, at], struck[:, at], -99).max(1)
        wanted[:, name] = due[:, at].any(1)
    weakest = np.where(wanted, best, 99).min(1)
    foreign = np.where(np.take(wanted, names, 1), -99, struck).max(1)
    return string, weakest, foreign


def margin(pitch: Floats, facts: Floats, score: NDArray[np.uint8]) -> Floats:
    """How surely a change is right: the worst of weakest tone, strongest foreign tone and the fact "right"."""
    _, weakest, foreign = tones(pitch, score)
    return np.minimum(np.minimum(weakest, -foreign), facts[:, RIGHT].astype(float))


def lead_margin(pitch: Floats, facts: Floats, score: NDArray[np.uint8]) -> Floats:
    """The same for notes of a line, where the octave counts: every due pitch, no other pitch."""
    struck = pitch[:, :, 0].astype(float)
    due = score[:, 0] > 0
    string, foreign = np.where(due, struck, 99).min(1), np.where(due, -99, struck).max(1)
    return np.minimum(np.minimum(string, -foreign), facts[:, RIGHT].astype(float))


def print_report(path: str) -> None:
    d = np.load(path)
    facts, kind, lead, truth = d["facts_out"], d["kind"], d["lead"] > 0, d["facts"] > 0
    m = np.where(lead, lead_margin(d["pitch"], facts, d["score"]), margin(d["pitch"], facts, d["score"]))
    sure = truth[:, RIGHT]
    string, _, _ = tones(d["pitch"], d["score"])
    error = (moment(d["when"].astype(float)) - d["onset"]) * 1000
    struck = d["onset"] < 5
    sampled = d["sampled"] > 0
    for name, part in (("chords", ~lead), ("chords, sampled guitars", ~lead & sampled), ("lead", lead),
                       ("lead under 160 ms", lead & (d["span"] < 0.16))):  # fmt: skip
        right = sure & part
        if right.sum() < 50:
            continue
        print(f"--- {name}: right {right.sum()}")
        for refuse in (0.002, 0.005, 0.01):
            cut = np.quantile(m[right], refuse)
            words = [f"{k} {wilson(int((m[q] < cut).sum()), int(q.sum()))}" for i, k in enumerate(KINDS)
                     for q in [part & (kind == i) & ~sure] if q.any()]  # fmt: skip
            print(f"margin {cut:.2f} refuses {100 * refuse} %: " + " · ".join(words))
        print("at 0: right accepted", wilson(int((m[right] >= 0).sum()), int(right.sum())),
              "wrong caught", wilson(int((m[part & ~sure] < 0).sum()), int((part & ~sure).sum())))  # fmt: skip
        dead = part & truth[:, 1] & sure
        cut = np.quantile(string[right & ~truth[:, 1]], 0.01)
        print("doubled string dead, said at 1 % false alarms", wilson(int((string[dead] < cut).sum()), int(dead.sum())), f"threshold {cut:.2f}")
        e = error[part & struck]
        print(f"moment: bias {np.median(e):+.2f} median {np.median(np.abs(e)):.2f} 95 % {np.quantile(np.abs(e), 0.95):.2f} ms, over 50 ms {100 * (np.abs(e) > 50).mean():.2f} %")
        late = part & struck & (d["onset"] > 0.06) & sure
        print("late ≥ 60 ms told ≥ 35 ms late", wilson(int((error[late] + 1000 * d["onset"][late] > 35).sum()), int(late.sum())))
    for g in np.unique(d["guitar"]) if sampled.any() else []:
        q = (d["guitar"] == g) & struck & (kind == 0) & sampled
        if q.sum() > 20:
            print(f"guitar {g}: bias {np.median(error[q]):+.2f} 95 % {np.quantile(np.abs(error[q]), 0.95):.1f} refused at 0: {wilson(int((m[q & sure] < 0).sum()), int((q & sure).sum()))}")


if __name__ == "__main__":
    print_report(sys.argv[1])
