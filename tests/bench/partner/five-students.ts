// Five simulated students in whole sittings, with the partner and by the rules alone in the same run.
// The students are invented (common practice, no source): the figures compare two sets of rules, they predict nobody.
import { PLAIN_RULES } from '../../support/plain-rules.ts';
import { step } from '../../../app/core/ladder/climb.ts';
import type { ClimbEvent, ClimbState, LadderRules } from '../../../app/core/ladder/model.ts';
import { newClimb } from '../../../app/core/ladder/new-climb.ts';
import { newPartner } from '../../../app/core/ladder/partner.ts';
import { unwrap } from '../../../app/core/base/result.ts';

interface Student {
  readonly name: string;
  /** Tempo at which each of seven changes goes right half of the time, in bpm. */
  readonly halfway: readonly number[];
  /** How sharply it falls off: smaller is more erratic. */
  readonly slope: number;
  /** Share of the tempo lost per minute without a break. */
  readonly tires: number;
}
const even = (bpm: number): number[] => Array.from({ length: 7 }, () => bpm);
const students: readonly Student[] = [
  { name: 'slips at one change', halfway: even(150).with(3, 58), slope: 14, tires: 0 },
  { name: 'too fast a start', halfway: even(62), slope: 14, tires: 0 },
  { name: 'tired', halfway: even(115), slope: 14, tires: 0.03 },
  { name: 'steady', halfway: even(130), slope: 16, tires: 0 },
  { name: 'erratic', halfway: even(150), slope: 5, tires: 0 },
];
const rules: LadderRules = {
  ...PLAIN_RULES,
  ...{ step: { kind: 'bpm', by: 5 }, cleanToClimb: 2, missedToDrop: 2, longestOnRung: 8 },
};
const BARS = 8;
const SITTING = 15 * 60;
/** The word on a pass is given half-way through its one bar of rest. */
const HALF_REST = 0.5;
/** Seconds to say where it broke. */
const SAYING = 4;
/** Gained on a change by one pass, and by 45 s of drilling it; a break takes tiredness away. */
const BY_PASS = 1.002;
const BY_DRILL = 1.05;
/** As many misses running on one rung with nothing new to do are a dead end. */
const DEAD = 6;

function random(seed: number): () => number {
  let s = seed;
  return () => (s = (s * 48271) % 2147483647) / 2147483647;
}

function sitting(student: Student, partnered: boolean, seed: number) {
  const next = random(seed);
  const can = [...student.halfway];
  const places = can.map((_, i) => ({ bar: i + 1, change: i + 1, from: `c${i}`, to: `c${i + 1}` }));
  const partner = partnered ? newPartner(places, BARS) : null;
  let state: ClimbState = unwrap(newClimb(rules, undefined, partner));
  let [now, fresh, passes, cleans, onWeak, first, run, dead] = [0, 0, 0, 0, 0, Infinity, 0, 0];
  let stuckAt = -1;
  const send = (event: Record<string, unknown>) => {
    state = step(state, { now, source: 'self', ...event } as ClimbEvent).state;
  };
  const holds = (i: number, bpm: number): boolean => {
    const tired = 1 - student.tires * ((now - fresh) / 60);
    return next() < 1 / (1 + Math.exp(-student.slope * Math.log((can[i]! * tired) / bpm)));
  };
  send({ kind: 'begin' });
  while (now < SITTING && state.phase !== 'finished') {
    const number = state.planned!.pass;
    const bpm = state.rungs[state.planned!.rung]!;
    send({ kind: 'pass-started', pass: number });
    send({ kind: 'unit-started', pass: number });
    const bar = (4 * 60) / bpm;
    now += (1 + BARS + HALF_REST) * bar;
    send({ kind: 'pass-ended', pass: number, underrun: false });
    const broken = can.findIndex((_, i) => !holds(i, bpm));
    can.forEach((bpmNow, i) => (can[i] = bpmNow * BY_PASS));
    passes += 1;
    if (broken < 0) {
      cleans += 1;
      first = Math.min(first, now);
    }
    run = broken < 0 ? 0 : bpm === stuckAt ? run + 1 : 1;
    stuckAt = bpm;
    if (run === DEAD) dead += 1;
    send({ kind: 'verdict', pass: number, verdict: broken < 0 ? 'clean' : 'missed' });
    // The question comes into the rest bar and ends it; else it is rested to its end.
    if (state.phase !== 'asking') {
      now += HALF_REST * bar;
      continue;
    }
    send({ kind: 'broke', place: places[broken]! });
    const answer = state.partner!.asked!.answers[0]!;
    now += SAYING;
    if (answer.kind === 'enough') break;
    send({ kind: 'take' });
    if (answer.kind === 'drill') {
      now += answer.seconds;
      onWeak += answer.seconds;
      can[broken] = can[broken]! * BY_DRILL;
      send({ kind: 'back' });
    } else if (answer.kind === 'piece') {
      const seconds = (2 * 4 * 4 * 60) / answer.bpm;
      now += seconds;
      onWeak += seconds;
      can[broken] = can[broken]! * Math.sqrt(BY_DRILL);
      send({ kind: 'back' });
    } else if (answer.kind === 'break') {
      fresh = now;
      send({ kind: 'resume' });
    }
  }
  return { first: first / 60, passes, cleans, dead, weak: onWeak / now };
}

/** Sittings of each student. */
const N = 300;

/** What some sittings of one student came to. */
export interface Outcome {
  readonly student: string;
  /** Minutes until the first clean pass: in the middle sitting, and in nine of ten; Infinity where there was none. */
  readonly first: number;
  readonly firstOfMost: number;
  /**
   * The mean, a sitting without one counted as its whole length. Passes come one by one, so the middle
   * sitting leaps from pass to pass: a second pass a rung slower lasts 6 s longer than one at the same tempo
   * and is clean far more often.
   */
  readonly firstMean: number;
  readonly passesPerSuccess: number;
  readonly deadEnds: number;
  /** Share of the time that was spent on what breaks. */
  readonly onWeak: number;
}

/** @param partnered with the partner, or by the rules alone; the same seeds in both. */
export function sittings(partnered: boolean): readonly Outcome[] {
  return students.map((student) => {
    const all = Array.from({ length: N }, (_, i) => sitting(student, partnered, 1000 + 7919 * i));
    const sum = (of: 'passes' | 'cleans' | 'dead' | 'weak') => all.reduce((t, s) => t + s[of], 0);
    const first = all.map((s) => s.first).sort((a, b) => a - b);
    return {
      student: student.name,
      first: first[N >> 1]!,
      firstOfMost: first[Math.floor(0.9 * N)]!,
      firstMean: first.reduce((all, minutes) => all + Math.min(minutes, SITTING / 60), 0) / N,
      passesPerSuccess: sum('passes') / Math.max(1, sum('cleans')),
      deadEnds: sum('dead'),
      onWeak: sum('weak') / N,
    };
  });
}
