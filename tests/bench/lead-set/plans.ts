// Invented lead lines for the test set, and how an invented player plays them: late, early, wrong, too flat.
import type { Chart } from '../../../app/core/model/chart.ts';
import { checkPart } from '../../../app/core/lead/check.ts';
import { parsePart } from '../../../app/core/lead/notation.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { rational } from '../../../app/core/base/rational.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import {
  leadMoments,
  type LeadMoment,
  type PlayedLeadNote,
} from '../../../app/core/timeline/lead.ts';
import type { Bpm, Cents, Milliseconds, Seconds } from '../../../app/core/base/units.ts';
import { dice, type Dice } from '../ear-set/random.ts';

export interface PlayedNote {
  readonly offset: Milliseconds;
  readonly wrong: boolean;
  /** How far the bend misses where it should arrive. */
  readonly bendError?: Cents;
}

export interface LinePlan {
  readonly bpm: Bpm;
  /** What should sound, and what the player does. */
  readonly written: readonly LeadMoment[];
  readonly played: readonly LeadMoment[];
  readonly truth: readonly PlayedNote[];
  readonly detune: Cents;
}

const BARS = 4;
const LEAD_IN = 1;

/** The same seed gives the same plan on every machine. */
export function planLine(seed: number): LinePlan {
  const d = dice(seed);
  const bpm = Math.round(d.between(70, 150));
  const written = momentsOf(inventLine(d), bpm).map(later);
  const truth = inOrder(
    written,
    written.map((moment) => playNote(moment, d)),
  );
  const played = written.map((moment, i) => misplay(moment, written[i + 1], truth, i, d));
  return { bpm, written, played, truth, detune: d.normal(0, 8) };
}

const later = (moment: LeadMoment): LeadMoment => ({
  ...moment,
  seconds: moment.seconds + LEAD_IN,
  until: moment.until + LEAD_IN,
});

/** Draws bars until one can be played as written. */
function inventLine(d: Dice): string {
  const bars: string[] = [];
  while (bars.length < BARS) {
    const bar = inventBar(d);
    const parsed = parsePart(bar, 'Line');
    if (!parsed.ok) continue;
    const problems = checkPart(parsed.value, [rational(4)], 'Line', { strings: 6, frets: 20 });
    if (problems.length === 0) bars.push(bar);
  }
  return `| ${bars.join(' | ')} |`;
}

function inventBar(d: Dice): string {
  const base = d.pick([2, 3, 5, 7, 9]);
  const beats = Array.from({ length: 4 }, () => {
    const rhythm = d.pick(['4', '8 8', '8 8', '8t 8t 8t', '16 16 8']);
    return rhythm
      .split(' ')
      .map((value) => `${value} ${inventNote(d, base, value)}`)
      .join(' ');
  });
  return beats.join(' ');
}

function inventNote(d: Dice, base: number, value: string): string {
  const string = d.pick([1, 2, 3, 4, 5]);
  const fret = base + d.pick([0, 1, 2, 3]);
  const kind = d.weighted<string>([
    ['pick', 10],
    ['hammer', 2],
    ['pull', 2],
    ['slide', value === '4' ? 2 : value === '8' ? 1 : 0],
    ['bend', value === '4' ? 4 : value === '8' ? 1 : 0],
    ['vibrato', value === '4' ? 2 : 0],
  ]);
  switch (kind) {
    case 'hammer':
      return `h${fret}`;
    case 'pull':
      return `p${base}`;
    case 'slide':
      return `/${fret}`;
    case 'bend':
      return `${string}/${fret}b${d.pick(['.5', '1', '1'])}`;
    case 'vibrato':
      return `${string}/${fret}~`;
    default:
      return `${string}/${fret}`;
  }
}

function momentsOf(part: string, bpm: Bpm): readonly LeadMoment[] {
  const bars = Array(BARS).fill('G').join(' | ');
  const text = `title: T\ntempo: q = 90\nmeter: 4/4\n\n[A]\n| ${bars} |\nline: L, bar 1\npart One: ${part}\n`;
  const chart: Chart = { id: 'c', ...unwrap(parseChart(text)) };
  const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'A' }));
  return leadMoments(unit, bpm, { countIn: 'none', restBars: 0 }, { lead: 'L', part: 'One' });
}

/** No hand plays two notes of a line nearer to each other than this, or than three quarters of what is written. */
const NEAREST: Seconds = 0.07;

function inOrder(written: readonly LeadMoment[], drawn: readonly PlayedNote[]): PlayedNote[] {
  const truth: PlayedNote[] = [];
  drawn.forEach((note, i) => {
    const before = written[i - 1];
    const gap = before ? written[i]!.seconds - before.seconds : Infinity;
    const least = before
      ? truth[i - 1]!.offset - 1000 * (gap - Math.min(NEAREST, 0.75 * gap))
      : -Infinity;
    truth.push({ ...note, offset: Math.max(note.offset, least) });
  });
  return truth;
}

function playNote(moment: LeadMoment, d: Dice): PlayedNote {
  const note = moment.notes[0]!;
  const far = d.chance(0.1) ? d.pick([-1, 1]) * d.between(45, 80) : 0;
  return {
    offset: far + d.normal(0, 9),
    wrong: !note.bend && note.reach === 'picked' && d.chance(0.15),
    ...(note.bend && { bendError: d.normal(0, 15) }),
  };
}

function misplay(
  moment: LeadMoment,
  next: LeadMoment | undefined,
  truth: readonly PlayedNote[],
  i: number,
  d: Dice,
): LeadMoment {
  const { offset, wrong, bendError } = truth[i]!;
  const seconds = moment.seconds + offset / 1000;
  const nextAt = next ? next.seconds + truth[i + 1]!.offset / 1000 : Infinity;
  const note = moment.notes[0]!;
  const slip = wrong ? d.pick([-2, -1, 1, 2, 5]) : 0;
  const bent: PlayedLeadNote['bend'] = note.bend && {
    ...note.bend,
    // The tone's curve takes any number; a written bend is a whole number of half steps.
    semitones: (note.bend.semitones + (bendError ?? 0) / 100) as 1,
  };
  const playedNote: PlayedLeadNote = {
    ...note,
    ...(note.pitch !== undefined && { pitch: note.pitch + slip }),
    ...(bent && { bend: bent }),
  };
  return {
    ...moment,
    seconds,
    until: Math.max(seconds + 0.05, Math.min(moment.until + offset / 1000, nextAt)),
    notes: [playedNote],
  };
}
