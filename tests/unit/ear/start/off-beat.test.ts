// A strum that leaves out the first beat: the chord before rings on until the new one is struck, and tells the beats apart.
import { expect, it } from 'vitest';
import { unwrap } from '../../../../app/core/base/result.ts';
import type { Seconds } from '../../../../app/core/base/units.ts';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { expectationOf } from '../../../../app/core/ear/expectation.ts';
import { findStart } from '../../../../app/core/ear/find-start.ts';
import { soundFrames } from '../../../../app/core/ear/frames.ts';
import { EAR_RATE } from '../../../../app/core/ear/rate.ts';
import { mixGuitar } from '../../../../app/core/sound/guitar.ts';
import { strumNotes } from '../../../../app/core/sound/strum-notes.ts';
import { BARE_LAP } from '../../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../../app/core/timeline/lap.ts';
import { unitVoicings } from '../../../../app/core/units/hands/hands.ts';
import { resolveUnit } from '../../../../app/core/units/resolve.ts';
import { plucksAt } from '../../../support/plucks.ts';

const BPM = 80;
const BEAT: Seconds = 60 / BPM;
const START: Seconds = 4;

it('is found on its beat, though a click on every beat hides which are played', () => {
  const bars = Array(4).fill('Em | Cm').join(' | ');
  const text = `title: T\ntempo: ${BPM}\nmeter: 4/4\n\n[A]\nstrum: eighths -- D- -- D-\n| ${bars} |\n`;
  const chart = { id: 'c', ...unwrap(parseChart(text)) };
  const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'A' }));
  const lap = buildLap(unit, BPM, BARE_LAP);
  const voicings = unitVoicings(unit, chart.shapes);
  const sound = new Float32Array(Math.ceil((START + lap.end + 2) * EAR_RATE));
  const played = sound.subarray(START * EAR_RATE);
  const notes = strumNotes(lap, unit, voicings);
  mixGuitar(played, 0, notes, plucksAt(EAR_RATE));
  // The second chord is tried before, and rings into the pass: no silence tells where that begins.
  const tried = notes.filter(({ seconds }) => seconds > 3 && seconds < 4.5);
  const before = tried.map((note) => ({ ...note, seconds: note.seconds - 2, until: START + BEAT }));
  mixGuitar(sound, 0, before, plucksAt(EAR_RATE));
  // A hall: on the first beat of a chord the one before is heard as loud.
  for (const delay of [0.25, 0.5, 0.75]) echo(sound, Math.round(delay * EAR_RATE));
  for (let at = START % BEAT; at < START + lap.end; at += BEAT) {
    const from = Math.round(at * EAR_RATE);
    for (let i = 0; i < 80; i++)
      sound[from + i]! += 0.4 * Math.exp(-i / 20) * (i % 2 === 0 ? 1 : -1);
  }
  const frames = soundFrames();
  frames.advance(sound, sound.length);
  const expected = expectationOf(lap, unit, -lap.unitStart, { voicings });
  const found = findStart(expected, frames, sound.length / EAR_RATE)!;
  expect(Math.abs(found.start - START)).toBeLessThan(0.06);
  expect(found.doubtful).toBe(false);
});

/** Adds what sounded `delay` before, once. */
function echo(sound: Float32Array, delay: number): void {
  for (let i = sound.length - 1; i >= delay; i--) sound[i]! += 0.8 * sound[i - delay]!;
}
