"""What the hands do around one due moment: drawn from a seed, nothing sounded yet.

An example is a chord change (or one note of a lead line): what is due, what was due before and what comes next,
what is really plucked and when, and the truth that follows. Times are seconds from the reference moment,
which lies within ±10 ms of the due moment, as in the program, whose frames stand on a grid.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from banks import HIGH, LOW, PITCHES, RATE

BEGIN, SAMPLES = -0.28, 20_480
"""A patch of sound: from 0.28 s before the reference, 1.28 s long."""
EARLIER = 6_400
"""So many samples sound before the patch begins: a room still rings of them."""
START, WHOLE = BEGIN - EARLIER / RATE, SAMPLES + EARLIER
TOKENS = HIGH - LOW + 1
PLUCKS, BAND = 96, 24
ROW, AT, RATIO, GAIN, END, FALL, SKIP, RISE, DAMP = range(9)
COLUMNS = 9
STANDARD = np.array([40, 45, 50, 55, 59, 64])
NEVER = 9.0
"""An end or a beginning that does not come."""

Frets = NDArray[np.int64]
Arrays = Any
"""Arrays and scalars of numpy, of several kinds."""


def _frets(text: str) -> Frets:
    return np.array([-1 if c == "x" else int(c) for c in text])


# Common open and barred shapes; common practice, no source.
SHAPES: dict[str, Frets] = {
    name: _frets(text)
    for name, text in (
        pair.split("=")
        for pair in (
            "C=x32010 D=xx0232 E=022100 F=133211 G=320003 A=x02220 B=x24442 Am=x02210 Bm=x24432 Dm=xx0231 Em=022000 "
            "F#m=244222 Gm=355333 C#m=x46654 A7=x02020 B7=x21202 D7=xx0212 E7=020100 G7=320001 Am7=x02010 Dm7=xx0211 "
            "Em7=020000 Cmaj7=x32000 Bb=x13331 Asus4=x02230 Dsus4=xx0233 Esus4=022200 Cadd9=x32030 Fmaj7=xx3210 "
            "Dsus2=xx0230 C7=x32310 Asus2=x02200 G'=320033 Em7'=022033 A7sus4=x02030 Fs=xx3211 F6=xx3213 Gsus4=330013 "
            "Amaj7=x02120 Dmaj7=xx0222 Emaj7=021100 Gmaj7=320002 B5=x244xx E5=022xxx A5=x022xx D/F#=2x0232 C/G=332010 "
            "G/B=x20003 Bm7=x20202 F#m7=242222 E6=022120 A6=x02222 D6=xx0202 G6=320000 Am9=x02413 Fsus2=xx3011"
        ).split()
    )
}
OPEN = list(SHAPES.values())
_COLOURS = (
    "C:Cmaj7,C7,Cadd9,C/G D:Dsus4,Dsus2,D7,Dmaj7,D6,D/F# E:Esus4,E7,Emaj7,E6 F:Fmaj7,Fs,F6,Fsus2 G:G7,Gmaj7,Gsus4,G6,G' "
    "A:Asus4,Asus2,A7,Amaj7,A6 Am:Am7,Asus2,Asus4,A Dm:Dm7,Dsus4,Dsus2,D Em:Em7,Em7',Esus4,E B7:B,Bm7 Bm:Bm7,B"
)
COLOURS: list[tuple[Frets, Frets]] = [
    (SHAPES[plain], SHAPES[other])
    for family in _COLOURS.split()
    for plain, others in [family.split(":")]
    for other in others.split(",")
]
MOVABLE = [_frets(f) for f in ("022100 022000 020100 020000 022200 x02220 x02210 x02020 x02010 x02120 x02230 "
                               "xx0232 xx0231 022xxx x022xx xxx100 xxx022").split()]  # fmt: skip
_E_FORMS = "022100 022000 020100 020000 022200 021100 022120"
_A_FORMS = "x02220 x02210 x02020 x02010 x02230 x02120 x02200 x02222 x02420"
_D_FORMS = "xx0232 xx0231 xx0212 xx0211 xx0233 xx0222 xx0230"
FORMS: list[list[Frets]] = [[_frets(f) for f in forms.split()] for forms in (_E_FORMS, _A_FORMS, _D_FORMS)]
"""Barred shapes of one root in several colours: major, minor, sevenths, fourths, seconds, sixths; common practice, no source."""
PATTERNS = "D------- D---D--- D-D-D-D- D-DUD-DU DUDUDUDU D-DU-UDU D--D--D- D-UD-UD- U-DU-UDU D--U--D- D-----DU".split()
KINDS = "right lost lost2 weak muted finger colour other extra held silent".split()
_WEIGHTS = np.array([42, 18, 4, 12, 4, 9, 10, 5, 9, 5, 4], float)
_LEAD_WEIGHTS = np.array([50, 3, 0, 3, 5, 24, 0, 0, 4, 6, 5], float)
GLOBALS = "tone_lost string_lost tone_added string_added held dead silent right".split()


@dataclass
class Stroke:
    at: float
    frets: Frets
    direction: str
    strength: float
    dead: bool = False
    ghost: bool = False


@dataclass
class Event:
    """One string begins (`midi` given) or is stopped (None)."""

    at: float
    midi: int | None
    gain: float = 0.0
    dead: bool = False
    fall: float = 0.02
    buzz: bool = False
    skip: float = 0.0
    rise: float = 0.0


@dataclass
class Scene:
    """Everything that is drawn before it is written into arrays."""

    open_strings: NDArray[np.int64]
    due: list[int]
    before: list[int]
    after: list[int]
    span: float
    eighth: float
    onset: float
    kind: str
    strings: list[list[Event]]
    struck: list[int]
    weak: list[int] = field(default_factory=list)
    lead: bool = False
    named_only: bool = False
    seen: float = 0.0
    """Slow frames are shown until here: live, a verdict cannot wait for the windows of the last ones."""


def a_shape(r: Generator) -> Frets:
    u = r.random()
    if u < 0.5:
        return OPEN[r.integers(len(OPEN))].copy()
    if u < 0.8:
        frets = MOVABLE[r.integers(len(MOVABLE))]
        return np.where(frets < 0, -1, frets + r.integers(1, 10))
    base, low = r.integers(1, 10), r.integers(0, 3)
    frets = np.full(6, -1)
    for k in range(low, min(int(r.integers(low + 3, 7)), 6)):
        frets[k] = 0 if r.random() < 0.25 else base + r.integers(0, 4)
    return frets


def a_tuning(r: Generator) -> NDArray[np.int64]:
    """Standard, drop D, down a half or whole step, D A D G A D, open G; a capo up to fret 7."""
    strings = STANDARD.copy()
    u = r.random()
    if u < 0.08:
        strings[0] = 38
    elif u < 0.15:
        strings = strings - r.integers(1, 3)
    elif u < 0.18:
        strings = np.array([38, 45, 50, 55, 57, 62])
    elif u < 0.21:
        strings = np.array([38, 43, 50, 55, 59, 62])
    if r.random() < 0.28:
        strings = strings + r.integers(1, 8)
    return strings


def pitches(strings: NDArray[np.int64], frets: Frets) -> list[int]:
    return [int(s + f) for s, f in zip(strings, frets) if f >= 0]


def classes(midi: list[int]) -> set[int]:
    return {m % 12 for m in midi}


def lateness(r: Generator, span: float) -> float:
    """Most come about in time; a quarter is late by 30 to 200 ms, a tenth by up to half a second."""
    u = r.random()
    late = r.normal(0, 0.012)
    if u < 0.24:
        late = r.uniform(0.03, 0.2)
    elif u < 0.33:
        late = r.uniform(0.2, 0.45)
    elif u < 0.39:
        late = -r.uniform(0.02, 0.09)
    return float(np.clip(late, -min(0.1, 0.3 * span), min(0.45, span * 0.45)))


def _first(r: Generator, strings: Frets, sounds: Frets, tuning: NDArray[np.int64]) -> list[int]:
    """Strings in any order; more often than not one that carries its tone alone comes first."""
    order = r.permutation(strings).tolist()
    names = (tuning + sounds) % 12
    alone = [k for k in order if sum(sounds[j] >= 0 and names[j] == names[k] for j in range(6)) == 1]
    if alone and r.random() < 0.55:
        order.remove(alone[0])
        order.insert(0, alone[0])
    return order


def _colours(r: Generator) -> tuple[Frets, Frets]:
    """Two chords of one root: open ones, or the same barre in another colour."""
    if r.random() < 0.65:
        return COLOURS[r.integers(len(COLOURS))]
    forms = FORMS[r.integers(len(FORMS))]
    one, other = r.permutation(len(forms))[:2]
    fret = int(r.integers(1, 9))
    up = lambda frets: np.where(frets < 0, -1, frets + fret)  # noqa: E731
    return up(forms[one]), up(forms[other])


def _misplayed(
    r: Generator, due: Frets, before: Frets, kind: str, tuning: NDArray[np.int64]
) -> tuple[Frets, NDArray[np.bool_], NDArray[np.bool_], str]:
    """What the left hand really holds; which strings thud instead of sounding; which are weakly pressed."""
    played = due.copy()
    thud, weak = np.zeros(6, bool), np.zeros(6, bool)
    live = np.flatnonzero(due >= 0)
    if kind in ("lost", "lost2"):
        for k in _first(r, live, due, tuning)[: 1 if kind == "lost" or len(live) < 4 else 2]:
            played[k] = -1
            thud[k] = r.random() < 0.7
    elif kind == "weak":
        pressed = np.flatnonzero(due > 0)
        if len(pressed) == 0:
            return played, thud, weak, "right"
        for k in _first(r, pressed, due, tuning)[: 1 if r.random() < 0.8 else 2]:
            weak[k] = True
    elif kind == "finger":
        k = r.choice(live)
        f = int(played[k])
        near = [x for x in (f + 1, f - 1, f + 2, f - 2, 0, f + 1, f - 1, 0) if 0 <= x < 15 and x != f]
        played[k] = near[r.integers(len(near))]
        if r.random() < 0.15 and len(live) > 3:
            j = r.choice(live)
            if j != k:
                played[j] = max(0, played[j] + r.integers(-2, 3))
    elif kind == "other":
        played = a_shape(r)
        if r.random() < 0.3:
            # The same grip, a fret or a string away.
            fretted = bool((due[due >= 0] > 0).all())
            played = np.where(due < 0, -1, due + r.choice([-1, 1])) if fretted else np.roll(due, r.choice([-1, 1]))
    elif kind == "extra":
        silent = np.flatnonzero(due < 0)
        if len(silent) == 0:
            return played, thud, weak, "right"
        foreign = [k for k in silent if int(tuning[k]) % 12 not in classes(pitches(tuning, due))]
        if foreign and r.random() < 0.5:
            played[r.choice(foreign)] = 0
            return played, thud, weak, kind
        for k in silent[-1 - int(r.integers(0, len(silent))) :]:
            played[k] = 0 if r.random() < 0.8 else r.integers(1, 6)
    elif kind == "held":
        played = before.copy()
    return played, thud, weak, kind


def chord_scene(r: Generator) -> Scene:
    """One chord change with the strokes before and after it."""
    strings = a_tuning(r)
    kind = KINDS[r.choice(len(KINDS), p=_WEIGHTS / _WEIGHTS.sum())]
    due, before, after = a_shape(r), a_shape(r), a_shape(r)
    if r.random() < 0.06:
        before = due.copy()
    if r.random() < 0.15:
        after = due.copy()
    first = r.random() < 0.08 and kind != "held"
    if kind == "colour":
        due, played = _colours(r)
        if r.random() < 0.15:
            due, played = played, due
        thud, weak = np.zeros(6, bool), np.zeros(6, bool)
    else:
        played, thud, weak, kind = _misplayed(r, due, before, kind, strings)

    eighth = float(np.exp(r.uniform(np.log(30 / 220), np.log(30 / 40))))
    if r.random() < 0.12:
        eighth = max(0.13, eighth * 2 / 3)  # triplet eighths: 12/8 and shuffles
    span = r.choice([1, 2, 2, 3, 4, 4, 4, 6, 8, 8]) * eighth
    while span < 0.26:
        span += eighth
    jitter = r.uniform(-0.01, 0.01)
    late = lateness(r, span)
    u = r.random()
    spread = r.uniform(0.004, 0.02) if u < 0.62 else r.uniform(0.02, 0.075) if u < 0.92 else r.uniform(0.07, 0.15)
    picked = r.random() < 0.1 and span > 0.5 and kind not in ("muted", "silent")
    direction = "U" if r.random() < 0.14 else "D"
    swing = 0.0 if r.random() < 0.75 else r.uniform(0.1, 0.36)
    off = lambda e: (e + (swing if e % 2 else 0)) * eighth  # noqa: E731
    ghosts = r.random() < 0.14
    strokes: list[Stroke] = []
    if not first:
        pattern = PATTERNS[r.integers(len(PATTERNS))]
        cut = r.random() < 0.1  # the hand is already off the strings before the change
        for e in range(1, 17):
            at = off(-e) + r.normal(0, 0.01)
            if at < -1.3:
                break
            cell = pattern[(8 - e) % 8]
            if cell != "-" or e in (4, 8):
                strokes.append(Stroke(at, before, cell, 0.8))
            elif ghosts and r.random() < 0.4:
                strokes.append(Stroke(at, before, "D", 0.16, True, True))
        if cut:
            strokes.append(Stroke(min(0.0, late) - r.uniform(0.05, 0.3), np.full(6, -1), "D", 0.0))
    main: Stroke | None = None
    if kind != "silent":
        main = Stroke(late, played, direction, 1.0, kind == "muted")
        strokes.append(main)
        pattern = PATTERNS[r.integers(len(PATTERNS))]
        corrects = kind == "held" and r.random() < 0.3
        for e in range(1, 10):
            at = off(e) + r.normal(0, 0.01)
            if at >= min(span - 0.03, 1.05) or at < late + (0.3 if picked else 0.08):
                continue
            shape = due if corrects and at > 2 * eighth else played
            if pattern[e % 8] != "-":
                strokes.append(Stroke(at, shape, pattern[e % 8], 0.75, kind == "muted"))
            elif ghosts and r.random() < 0.4:
                strokes.append(Stroke(at, shape, "D", 0.16, True, True))
    if span < 0.95 and r.random() < 0.92:
        strokes.append(Stroke(span + r.normal(0, 0.012), after, "D", 0.9))
    strokes.sort(key=lambda s: s.at)

    chain, struck = _plucks(r, strokes, main, strings, due, thud, weak, spread, span if picked else 0.0)
    onset = NEVER if main is None else late
    _move(chain, jitter)
    told = a_shape(r) if r.random() < 0.1 else before  # what was due before need not be what was played
    return Scene(
        strings, pitches(strings, due), [] if first else pitches(strings, told), pitches(strings, after),
        span + jitter, eighth, onset + (0 if main is None else jitter), kind, chain, struck,
        [int(strings[k] + played[k]) for k in range(6) if weak[k]],
    )  # fmt: skip


def _move(chain: list[list[Event]], by: float) -> None:
    for events in chain:
        for event in events:
            event.at += by


def _plucks(
    r: Generator, strokes: list[Stroke], main: Stroke | None, strings: NDArray[np.int64], due: Frets,
    thud: NDArray[np.bool_], weak: NDArray[np.bool_], spread: float, picked: float,
) -> tuple[list[list[Event]], list[int]]:  # fmt: skip
    """Strokes string by string, with what the left hand stops in between."""
    chain: list[list[Event]] = [[] for _ in range(6)]
    base = r.uniform(0.5, 1.0)
    even = r.random()
    balance = r.uniform(0.85, 1.15, 6) if even < 0.5 else r.uniform(0.55, 1.3, 6) if even < 0.85 else r.uniform(0.3, 1.3, 6)
    choke = 0.012 if r.random() < 0.5 else float(np.exp(r.uniform(np.log(0.012), np.log(0.06))))
    gap = 0.02 if r.random() < 0.6 else r.uniform(0.01, 0.14)
    legato = r.random() < 0.12  # open strings ring on into the next chord
    left: Frets | None = None
    struck: list[int] = []
    for stroke in strokes:
        is_main = stroke is main
        frets = stroke.frets
        if not stroke.ghost and left is not None:
            for k in range(6):
                if left[k] >= 0 and left[k] != frets[k]:
                    if frets[k] < 0 and left[k] == 0 and (legato or r.random() < 0.5):
                        continue
                    chain[k].append(Event(stroke.at - (gap if is_main else 0.02), None))
        order = [k for k in range(6) if frets[k] >= 0 or (is_main and thud[k])]
        if stroke.direction == "U":
            order = order[::-1]
            keep = 4 if not is_main else (6 if r.random() < 0.6 else int(r.integers(4, 6)))
            order = order[:keep]
        volume = base * stroke.strength * r.uniform(0.85, 1.15)
        width = spread * (1.0 if is_main else 0.7)
        steps = np.linspace(0, width, max(1, len(order)))
        if is_main and picked and len(order) > 2:
            steps = np.concatenate([[0.0], np.sort(r.uniform(0.03, min(0.55 * picked, 0.55), len(order) - 1))])
            if r.random() < 0.6:
                order = [order[0], *r.permutation(order[1:]).tolist()]
        for at, k in zip(stroke.at + steps, order):
            if frets[k] < 0:
                midi = int(strings[k] + (due[k] if r.random() < 0.7 else 0))
                chain[k].append(Event(at, midi, volume * r.uniform(0.15, 0.9), True, choke))
                continue
            gain = volume * balance[k] * r.uniform(0.88, 1.12) * (0.6 if stroke.dead and not stroke.ghost else 1)
            event = Event(at, int(strings[k] + frets[k]), gain, stroke.dead, choke if stroke.dead else 0.002)
            held_shape = main is not None and (frets is main.frets or is_main)
            if held_shape and weak[k] and not stroke.dead:
                # Half pressed: it dies at once, mostly with a buzz against the fret.
                event.dead, event.fall = True, float(np.exp(r.uniform(np.log(0.014), np.log(0.055))))
                event.buzz = r.random() < 0.7
                event.gain *= r.uniform(0.4, 1.0)
            chain[k].append(event)
        if is_main and not stroke.dead:
            struck = [int(strings[k] + frets[k]) for k in order if frets[k] >= 0 and not weak[k]]
        if not stroke.ghost:
            left = frets
    return chain, struck


def lead_scene(r: Generator) -> Scene:
    """One note of a lead line; sometimes two together, sometimes reached without a pick."""
    strings = a_tuning(r)
    kind = KINDS[r.choice(len(KINDS), p=_LEAD_WEIGHTS / _LEAD_WEIGHTS.sum())]
    span = float(np.exp(r.uniform(np.log(0.07), np.log(1.3))))
    place = lambda: (int(r.integers(0, 6)), int(r.integers(0, 15)))  # noqa: E731
    k, f = place()
    walk = lambda: (int(np.clip(k + r.integers(-1, 2), 0, 5)), int(np.clip(f + r.integers(-4, 5), 0, 16)))  # noqa: E731
    (k0, f0), (k2, f2) = walk(), walk()
    midi = lambda string, fret: int(strings[string] + fret)  # noqa: E731
    first = r.random() < 0.08 and kind != "held"
    legato = not first and k0 == k and f0 != f and abs(f0 - f) <= 5 and r.random() < 0.6 and kind in ("right", "finger")
    due = [(k, f)]
    if r.random() < 0.1 and not legato or kind == "lost":
        j = k + (1 if k < 5 else -1)
        due.append((j, max(0, f + int(r.integers(-2, 3)))))
    played = list(due)
    if kind == "lost":
        played = [due[int(r.integers(0, 2))]]
    elif kind == "finger":
        step = int(r.choice([-1, 1, -2, 2, -1, 1, 3, -3, 12]))
        played[0] = (k, max(0, f + step)) if r.random() < 0.85 else (min(5, k + 1), f)
        if midi(*played[0]) == midi(k, f):
            kind = "right"
    elif kind == "extra":
        j = int(np.clip(k + r.choice([-1, 1]), 0, 5))
        played.append((j, 0 if r.random() < 0.7 else max(0, f + int(r.integers(-2, 3)))))
        if j == k or midi(*played[-1]) in [midi(*d) for d in due]:
            played.pop()
            kind = "right"
    jitter = r.uniform(-0.01, 0.01)
    late = lateness(r, span)
    base = r.uniform(0.4, 1.0)
    back = max(float(np.exp(r.uniform(np.log(0.07), np.log(1.0)))), 0.06 - late)
    chain: list[list[Event]] = [[] for _ in range(6)]
    ring = 0.0 if r.random() < 0.75 else r.uniform(0.02, 0.4)
    struck: list[int] = []
    if not first:
        chain[k0].append(Event(-back, midi(k0, f0), base * r.uniform(0.8, 1.1)))
        if k0 not in [j for j, _ in played] and kind not in ("held", "silent"):
            chain[k0].append(Event(late - 0.01 + ring + r.uniform(-0.02, 0.01), None, fall=0.008))
        elif kind == "silent" and r.random() < 0.6:
            chain[k0].append(Event(r.uniform(-0.06, 0.03), None, fall=0.01))
        k3, f3 = walk()
        chain[k3].insert(0, Event(-back - 0.2, midi(k3, f3), base))
        if k3 != k0:
            chain[k3].append(Event(-back - 0.001, None))
    if kind not in ("held", "silent"):
        for n, (j, fret) in enumerate(played):
            at = late + n * r.uniform(0.0, 0.012)
            event = Event(at, midi(j, fret), base * r.uniform(0.8, 1.1), fall=0.003)
            if kind == "muted":
                event.dead, event.fall, event.gain = True, float(np.exp(r.uniform(np.log(0.006), np.log(0.03)))), event.gain * 0.7
            elif kind == "weak":
                event.dead, event.fall, event.buzz = True, float(np.exp(r.uniform(np.log(0.012), np.log(0.03)))), r.random() < 0.7
            elif legato:
                event.skip, event.rise, event.gain = r.uniform(0.015, 0.05), r.uniform(0.003, 0.015), event.gain * r.uniform(0.4, 0.9)
            chain[j].append(event)
            if not event.dead:
                struck.append(midi(j, fret))
        if r.random() < 0.5:  # staccato, or cut before the next
            for j, _ in played:
                chain[j].append(Event(late + span * r.uniform(0.7, 1.0), None, fall=0.01))
    if r.random() < 0.92:
        chain[k2].append(Event(span + r.normal(0, 0.012), midi(k2, f2), base))
        for j, _ in played:
            if j != k2:
                chain[j].append(Event(span, None, fall=0.01))
    onset = NEVER if kind in ("held", "silent") else late + jitter
    _move(chain, jitter)
    weak = [midi(*p) for p in played] if kind == "weak" else []
    return Scene(
        strings, [midi(*d) for d in due], [] if first else [midi(k0, f0)], [midi(k2, f2)], span + jitter, span / 2,
        onset, kind, chain, struck, weak, True,
    )  # fmt: skip


def _written(r: Generator, scene: Scene) -> tuple[NDArray[np.float32], set[int]]:
    """The plucks as rows the mixer reads, and what still rings from before."""
    whole = r.normal(0, 7) if r.random() < 0.85 else r.uniform(-38, 38)
    each = r.normal(0, 3, 6) if r.random() < 0.75 else r.uniform(-13, 13, 6)
    shift = int(r.integers(-4, 5)) if r.random() < 0.6 else 0
    slots = np.zeros((PLUCKS, COLUMNS), np.float32)
    slots[:, ROW] = -1
    rows: list[list[float]] = []
    ringing: set[int] = set()
    # A hand on the strings or a short body: everything dies sooner. 0 is never.
    u = r.random()
    damp = 0.0 if u < 0.65 else float(np.exp(r.uniform(np.log(0.35), np.log(2)))) if u < 0.9 else r.uniform(0.1, 0.35)
    for k in range(6):
        events = sorted(scene.strings[k], key=lambda e: e.at)
        for i, event in enumerate(events):
            if event.midi is None or event.gain <= 0:
                continue
            after = events[i + 1] if i + 1 < len(events) else None
            if event.dead:
                end, fall = event.at + 0.008, event.fall
            elif after is None:
                end, fall = NEVER, 0.002
            else:
                end, fall = (after.at, after.fall) if after.midi is None else (after.at - 0.003, 0.002)
            if end < START - 0.1 or event.at > BEGIN + SAMPLES / RATE:
                continue
            until = 0.0 if scene.onset > 5 else scene.onset
            if not event.dead and event.at < until - 1e-6 and end > until + 0.12:
                ringing.add(event.midi)
            row, ratio = note_row(event.midi + shift, 2 if event.buzz else int(event.gain > 0.54))
            ratio *= 2 ** ((-shift + (whole + each[k]) / 100) / 12)
            rows.append([row, event.at, ratio, event.gain, end, fall, event.skip, event.rise, damp])
    if r.random() < 0.5 and scene.kind != "muted":
        # Strings that nobody struck ring along: more where a struck pitch or its octave is theirs.
        sounding = set(scene.struck)
        for k in range(6):
            m = int(scene.open_strings[k])
            if m in sounding or any(s.at > -0.3 for s in scene.strings[k]) or scene.onset > 5:
                continue
            near = any((p - m) in (12, 19, 24, 0, 7) for p in sounding)
            row, ratio = note_row(m, 0)
            gain = r.uniform(0.01, 0.07 if near else 0.025)
            rows.append([row, scene.onset + 0.02, ratio * 2 ** (whole / 1200), gain, NEVER, 0.1, 0.05, 0.08, 0.0])
    rows.sort(key=lambda row: abs(row[AT]))
    if r.random() < 0.05:
        rows = _paired(r, rows, scene)
    for n, written in enumerate(rows[:PLUCKS]):
        slots[n] = written
    return slots, ringing


def _paired(r: Generator, rows: list[list[float]], scene: Scene) -> list[list[float]]:
    """Twelve strings: beside each low one lies its octave, beside each high one its like, a hair later and out of tune."""
    out: list[list[float]] = []
    high = int(scene.open_strings[4])
    for row in rows:
        out.append(row)
        layer, index = divmod(int(row[ROW]), len(PITCHES))
        exact = PITCHES[index] + 12 * float(np.log2(row[RATIO]))
        midi = round(exact)
        beside, ratio = note_row(midi + (12 if midi < high else 0), layer)
        cents = 2 ** ((exact - midi) / 12 + r.normal(0, 4) / 1200)
        later = r.uniform(0.0005, 0.004)
        out.append([beside, row[AT] + later, ratio * cents, row[GAIN] * r.uniform(0.5, 1.0), row[END] + later, *row[FALL:]])
    return out


def note_row(midi: int, layer: int) -> tuple[int, float]:
    """Row of a bank and the resampling ratio that reaches a pitch; layers: 0 soft, 1 hard, 2 buzzing."""
    inside = int(np.clip(midi, LOW, HIGH))
    index = (inside - LOW) // 2
    return layer * len(PITCHES) + index, float(2 ** ((midi - PITCHES[index]) / 12))


BAND_KINDS = {"bass": 0, "keys": 1, "pad": 2, "drums": 3}
"""Order of the instruments in a band's bank; drums keep one-shots in their rows."""


def _band(r: Generator, scene: Scene) -> NDArray[np.float32]:
    """Sometimes a band plays the same song, or another one: [instrument, row, at, ratio, gain, end]."""
    out = np.zeros((BAND, 6), np.float32)
    out[:, 0] = -1
    if r.random() > 0.2 or scene.lead and r.random() < 0.5:
        return out
    rows: list[list[float]] = []
    level = 10 ** (-r.uniform(6, 26) / 20)
    foreign = r.random() < 0.4
    wanders = foreign and r.random() < 0.6  # notes of no key
    move = r.uniform(-0.3, 0.3) if foreign else r.normal(0, 0.004)
    transpose = int(r.integers(1, 12)) if foreign else 0
    for start, chord, end in ((-8 * scene.eighth, scene.before, 0.0), (0.0, scene.due, scene.span), (scene.span, scene.after, NEVER)):
        if not chord:
            continue
        chord = [m + transpose for m in chord]
        root = 36 + (min(chord) - 36) % 12
        step = scene.eighth * r.choice([2, 4])
        at = start
        while at < min(end, 1.0) - 0.02:
            row, ratio = note_row(int(r.integers(36, 53)) if wanders else root, 1)
            rows.append([0, row, at, ratio, level, at + step * r.uniform(0.7, 1)])
            at += step
        kind = 0 if wanders else int(r.choice([1, 2, 0]))
        for m in chord[:4] if kind else []:
            row, ratio = note_row(60 + (m - 60) % 12, int(r.integers(0, 2)))
            rows.append([kind, row, start, ratio, 0.6 * level, end])
    if r.random() < 0.7:
        for e in range(-4, 9):
            row = int(r.integers(0, len(PITCHES)))
            rows.append([3, row, e * scene.eighth, 1.0, level * r.uniform(0.4, 1.4), NEVER])
    rows = [row for row in rows if row[5] > START and row[2] < 1.0]
    rows.sort(key=lambda row: abs(row[2]))
    for n, written in enumerate(rows[:BAND]):
        out[n] = written
        out[n, 2] += move
        out[n, 5] += move
    return out


def _marks(midi: list[int] | set[int]) -> NDArray[np.uint8]:
    out = np.zeros(TOKENS, np.uint8)
    for m in midi:
        if LOW <= m <= HIGH:
            out[m - LOW] = 1
    return out


def truth(scene: Scene, ringing: set[int]) -> dict[str, Arrays]:
    """The labels: per pitch struck and sounding, and eight facts about the change as `GLOBALS` lists them."""
    # A chord is right by the names of its tones; a note of a line only in its own octave.
    tones = set if scene.lead else classes
    due, struck = tones(scene.due), tones(scene.struck)
    dead, silent = scene.kind == "muted", scene.onset > 5
    sounded = not dead and not silent
    lost = sounded and bool(due - struck)
    added = sounded and bool(struck - due)
    held = scene.kind == "held" and tones(scene.before) != due
    facts = [lost, sounded and bool(set(scene.due) - set(scene.struck)), added,
             sounded and bool(set(scene.struck) - set(scene.due)), held, dead, silent,
             sounded and not lost and not added]  # fmt: skip
    # Where only the chord's name is known, every pitch of its tones on the lower frets is marked.
    wide = lambda midi: [m for m in range(40, 72) if m % 12 in classes(midi)] if scene.named_only else midi  # noqa: E731
    return {
        "struck": np.stack([_marks(scene.struck), _marks(set(scene.struck) | ringing)]),
        "score": np.stack([_marks(wide(m)) for m in (scene.due, scene.before, scene.after)]),
        "facts": np.array(facts, np.uint8),
        "onset": np.float32(scene.onset),
        "span": np.float32(scene.span),
        "seen": np.float32(scene.seen),
        "eighth": np.float32(scene.eighth),
        "kind": np.int32(KINDS.index(scene.kind)),
        "lead": np.int32(scene.lead),
    }


def example(r: Generator, lead_share: float = 0.2) -> dict[str, Arrays]:
    scene = lead_scene(r) if r.random() < lead_share else chord_scene(r)
    scene.named_only = not scene.lead and r.random() < 0.05
    scene.seen = scene.span - (0.0 if scene.lead or r.random() < 0.2 else 0.05)
    slots, ringing = _written(r, scene)
    return {"slots": slots, "band": _band(r, scene), **truth(scene, ringing)}


def examples(seed_and_count: tuple[int, int]) -> dict[str, Arrays]:
    """`count` examples as stacked arrays; the same seed gives the same ones."""
    seed, count = seed_and_count
    r = np.random.default_rng(seed)
    drawn = [example(r) for _ in range(count)]
    return {key: np.stack([d[key] for d in drawn]) for key in drawn[0]}
