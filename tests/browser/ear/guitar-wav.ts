// A recording for the fake microphone: the model guitar plays a unit, with one change late and one chord wrong.
import { expect } from '@playwright/test';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { parseUnitKey } from '../../../app/core/units/keys.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { toPcm16, wavHeader } from '../../../app/core/exchange/wave/riff.ts';
import { unitPath } from '../../../app/core/units/hands/hands.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { mixGuitar } from '../../../app/core/sound/guitar.ts';
import { plucksAt } from '../../support/plucks.ts';
import { type StringNote, strumNotes } from '../../../app/core/sound/strum-notes.ts';
import { voicingsOf } from '../../../app/core/units/hands/hands.ts';
import { BARE_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { Lap } from '../../../app/core/timeline/model.ts';

const RATE = 48_000;
export const BPM = 150;
export const LATE_MS = 120;
/** Silence before and after the unit, so that a microphone that plays the file over and over has a join in it. */
const PAUSE = 0.8;

/** What is played is over soon; what is recorded meanwhile lasts long enough to hold it once from beginning to end. */
const TEXT = `title: Two Stairs
tempo: ${BPM}

[Short]
| Bm / G / | D / A / |

[Long]
| Bm | G | D | A | Bm | G | D |

form:
Short
Long
`;
export const chart: Chart = { id: 'two-stairs', ...unwrap(parseChart(TEXT)) };

export function unitOf(key: string): Unit {
  return unwrap(resolveUnit(chart, unwrap(parseUnitKey(key))));
}

/** 16 bit, one channel. The first change is on time; see {@link LATE_MS} for the second; the third holds the chord before. */
export function guitarWav(unit: Unit): Uint8Array {
  const lap = buildLap(unit, BPM, BARE_LAP);
  expect(lap.changes.length).toBeGreaterThanOrEqual(3);
  const voicings = [...voicingsOf(unitPath(unit, chart.shapes).steps)];
  voicings[2] = voicings[1]!;
  const notes = strumNotes(lap, unit, voicings).map((note) => lateOne(note, lap));
  const out = new Float32Array(Math.round((lap.end + 2 * PAUSE) * RATE));
  const byTime = notes.toSorted((a, b) => a.seconds - b.seconds);
  mixGuitar(out, -PAUSE * RATE, byTime, plucksAt(RATE));
  const bytes = new Uint8Array(44 + 2 * out.length);
  bytes.set(wavHeader(out.length, RATE));
  bytes.set(toPcm16(out.map((x) => 0.5 * x)), 44);
  return bytes;
}

/** The first stroke of the second change comes late. */
function lateOne(note: StringNote, lap: Lap): StringNote {
  const due = lap.changes[1]!.seconds;
  const first = note.seconds >= due - 1e-6 && note.seconds < due + 0.05;
  return first ? { ...note, seconds: note.seconds + LATE_MS / 1000 } : note;
}
