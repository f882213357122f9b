// The partner that answers a miss: one next step, never the same three times running, and always a way on.
import type { BreakPlace } from '../model/unit.ts';
import { type Bpm, MIN_BPM, type Seconds } from '../base/units.ts';
import { BREAK_MINUTES } from './break-clock.ts';
import { dropTo } from './footholds.ts';
import type { Answer, AnswerKind, Asked, ClimbState, Partner } from './model.ts';

/** Of the tempo at which a change broke: slow enough to be got right at once (ours, no source). */
const DRILL_SHARE = 0.75;
/** Long enough for a dozen changes, short enough not to tire (ours, no source). */
const DRILL_SECONDS: Seconds = 45;
/** A unit shorter than this is a piece already. */
const LEAST_BARS = 3;
const PIECE_BARS = 2;
/** So many misses running are no matter of the next rung (ours, no source). */
const TIRED = 4;
/** A step that stood among the last two answers is not the best third one. */
const APART = 2;

/** Before the first miss. @param bars how many the unit has */
export const newPartner = (places: readonly BreakPlace[], bars: number): Partner => ({
  ...{ places, bars, asked: null, away: null, due: null, step: null },
  ...{ taken: [], cleans: 0, marks: [] },
});

/** The question after a miss. `place` is where the ear, or what broke before, says it was. */
export function askAbout(
  state: ClimbState,
  partner: Partner,
  pass: number,
  place: BreakPlace | null,
): Asked {
  return { pass, place, answers: answersTo(state, partner, pass, place) };
}

/** What broke most in this climb so far, the latest where several did. */
export function likeliest({ marks }: Partner): BreakPlace | null {
  const times = (place: BreakPlace) =>
    marks.filter((mark) => mark.place.change === place.change).length;
  return marks.reduce<BreakPlace | null>(
    (best, { place }) => (best === null || times(place) >= times(best) ? place : best),
    null,
  );
}

/** Every step that is possible now, best first; steps among the last two come last. */
function answersTo(
  state: ClimbState,
  partner: Partner,
  pass: number,
  place: BreakPlace | null,
): readonly Answer[] {
  const possible = orderOf(state, partner, place).flatMap(
    (kind) => answer(state, partner, { kind, pass, place }) ?? [],
  );
  const recent = partner.taken.slice(-APART);
  const isRecent = ({ kind }: Answer): boolean => recent.includes(kind);
  return [...possible.filter((a) => !isRecent(a)), ...possible.filter(isRecent)];
}

function orderOf(
  state: ClimbState,
  { taken }: Partner,
  place: BreakPlace | null,
): readonly AnswerKind[] {
  const misses = taken.length + 1;
  if (misses >= TIRED && !taken.includes('break')) {
    return ['break', 'drill', 'slower', 'piece', 'again', 'enough'];
  }
  if (misses > 2 * TIRED) return ['enough', 'slower', 'drill', 'piece', 'break', 'again'];
  // A first success comes before any drill: it is a rung away, a drill most of a minute.
  const won = state.passes.some(({ verdict }) => verdict === 'clean');
  if (!won && misses === 1) return ['slower', 'again', 'piece', 'drill', 'break', 'enough'];
  if (place !== null) return ['drill', 'slower', 'piece', 'again', 'break', 'enough'];
  const patient = misses < state.rules.missedToDrop;
  return patient
    ? ['again', 'slower', 'piece', 'break', 'drill', 'enough']
    : ['slower', 'piece', 'again', 'break', 'drill', 'enough'];
}

interface Wish {
  readonly kind: AnswerKind;
  readonly pass: number;
  readonly place: BreakPlace | null;
}

/** The step in full; undefined where it is not possible. */
function answer(
  state: ClimbState,
  partner: Partner,
  { kind, pass, place }: Wish,
): Answer | undefined {
  const bpm = tempoOf(state, pass);
  switch (kind) {
    case 'again':
    case 'enough':
      return { kind };
    case 'break':
      return { kind, minutes: BREAK_MINUTES };
    case 'slower': {
      const lower = slowerThan(state, pass);
      return lower === undefined ? undefined : { kind, bpm: lower };
    }
    case 'drill':
      return place === null || place.from === ''
        ? undefined
        : { kind, place, bpm: slowed(bpm), seconds: DRILL_SECONDS };
    case 'piece':
      return partner.bars < LEAST_BARS ? undefined : { kind, ...pieceAround(partner, place), bpm };
  }
}

/** The tempo of the next lower rung, of the new one under the lowest; undefined where none is played so slow. */
function slowerThan(state: ClimbState, pass: number): Bpm | undefined {
  const rung = rungOf(state, pass);
  return rung > 0
    ? state.rungs[Math.max(0, dropTo(state, state.footholds, rung))]
    : rungUnder(state);
}

/** The rung that would be added under the lowest: one step of the ladder, at least one beat a minute. */
function rungUnder({ rungs, rules: { step } }: ClimbState): Bpm | undefined {
  const lowest = rungs[0] as Bpm;
  if (lowest <= MIN_BPM) return undefined;
  const by = step.kind === 'bpm' ? step.by : (lowest * step.by) / 100;
  return Math.max(MIN_BPM, Math.round(lowest - Math.max(1, by)));
}

/** The place's bar with the one before it, or the first bars. */
function pieceAround({ bars }: Partner, place: BreakPlace | null): { from: number; to: number } {
  const from = Math.max(0, Math.min(bars - PIECE_BARS, (place?.bar ?? 1) - 1));
  return { from, to: from + PIECE_BARS - 1 };
}

const slowed = (bpm: Bpm): Bpm => Math.max(MIN_BPM, Math.round(bpm * DRILL_SHARE));

const rungOf = (state: ClimbState, pass: number): number =>
  state.passes.find((p) => p.number === pass)?.rung ?? 0;

const tempoOf = (state: ClimbState, pass: number): Bpm => state.rungs[rungOf(state, pass)] as Bpm;
