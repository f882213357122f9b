// What sounds and is printed stays the same, for the demos and 200 charts drawn from seeds.
// - What the program has made of them from its beginnings stands in music/first.txt, written by music/first-core.ts from
//   commit 2b0c7d8, before its redesign: printed notation, every change, beat, click, stroke, string and lead note to the
//   sample, and leads as WAVE to the byte. No option writes that file anew.
// - What it makes of them today, with voices, shapes and band, stands in music/digests.txt. A change that is meant shows
//   there (`npm run test:unit -- -u` writes it). Typed notation and WAVE count to the byte; MIDI as @tonejs/midi 2.0.28
//   reads it, MusicXML as musicxml-io 0.9.6 does.
import { createHash } from 'node:crypto';
import tonejsMidi from '@tonejs/midi';
import * as io from 'musicxml-io';
import { describe, expect, it, test } from 'vitest';
import { unwrap } from '../../app/core/base/result.ts';
import { printChart } from '../../app/core/chart/notation/print.ts';
import { writeSmf } from '../../app/core/exchange/midi/write.ts';
import { writeMusicXml } from '../../app/core/exchange/musicxml/write/write.ts';
import { type PracticeTrack, practiceTrack } from '../../app/core/exchange/practice-track.ts';
import { writeWav } from '../../app/core/exchange/wave/write.ts';
import type { Chart } from '../../app/core/model/chart.ts';
import type { UnitRef } from '../../app/core/model/unit.ts';
import { partsIn } from '../../app/core/sound/lead/in-lap.ts';
import { unitVoicings } from '../../app/core/units/hands/hands.ts';
import { resolveUnit } from '../../app/core/units/resolve.ts';
import { testKit } from '../support/band-kit.ts';
import { FULL_LEVELS } from '../support/levels.ts';
import { PLAIN } from '../unit/timeline/examples.ts';
import { chartOf, demos, randomCharts } from './music/charts.ts';
import { today } from './music/core.ts';
import { firstDigests } from './music/first-digests.ts';
import {
  CHORDS_SINCE,
  FIRST_CHORDS,
  NO_CHORDS,
  askedCharts,
  firstDemos,
  readChords,
  readFirst,
} from './music/first.ts';

/** Hertz; low, since every sample is mixed by the same steps at any rate. */
const RATE = 8_000;
const KIT = testKit(RATE);
/** Of the random charts every so many is written as sound. */
const SOUNDS = 10;

const digest = (what: string | Uint8Array): string =>
  createHash('sha256').update(what).digest('hex').slice(0, 12);

/** A pass with all that can sound. */
function trackOf(chart: Chart, ref: UnitRef): PracticeTrack {
  const unit = unwrap(resolveUnit(chart, ref));
  return unwrap(
    practiceTrack(unit, {
      ...{ tempos: [97], passes: 1, click: 'all', lap: { ...PLAIN, restBars: 1 } },
      ...{ voicings: unitVoicings(unit, chart.shapes), leads: partsIn(unit), band: { seed: 7 } },
    }),
  );
}

function waveOf(track: PracticeTrack): string {
  const hash = createHash('sha256');
  for (const { bytes } of writeWav(track, FULL_LEVELS, RATE, KIT)) hash.update(bytes);
  return hash.digest('hex').slice(0, 12);
}

const midiOf = (track: PracticeTrack, title: string): string =>
  digest(JSON.stringify(new tonejsMidi.Midi(writeSmf(track, title)).toJSON()));

/** What a reader makes of a score; the names that it gives its own parts are drawn anew each time. */
function scoreOf(chart: Chart): string {
  const written = writeMusicXml(chart);
  if (!written.ok) return `none (${written.problems[0]!.code})`;
  return digest(
    JSON.stringify(io.parse(written.value), (key, value) =>
      key === '_id' ? undefined : (value as unknown),
    ),
  );
}

function lineOf(chart: Chart, part: UnitRef, sounds: boolean): string {
  const track = trackOf(chart, { kind: 'form' });
  return [
    chart.id.padEnd(30),
    `printed ${digest(printChart(chart))}`,
    `MIDI ${midiOf(track, chart.title)}`,
    `MusicXML ${scoreOf(chart)}`,
    ...(sounds ? [`WAVE ${waveOf(part.kind === 'form' ? track : trackOf(chart, part))}`] : []),
  ].join('  ');
}

it('is what it was, for the demos and 200 random charts', async () => {
  const lines = [
    ...demos.map((demo) =>
      lineOf(demo, { kind: 'section', section: demo.sections[0]!.name }, true),
    ),
    ...randomCharts().map((chart, i) => lineOf(chart, { kind: 'form' }, i % SOUNDS === 0)),
  ];
  expect(lines).toHaveLength(demos.length + 200);
  await expect(`${lines.join('\n')}\n`).toMatchFileSnapshot('music/digests.txt');
});

describe('as it was from the beginning', () => {
  const first = readFirst();

  /** What is another since, and why. */
  const meant = new Map<string, readonly string[]>([
    // The bridge's pattern of 12 eighths spans its last two bars of 6/8; in the log each now has its own half.
    ['low-tide-lanterns', ['units']],
    // Above a capo, or tuned down, thirds and sixths went along the fingered key at the pitches that sound.
    ...[32, 41, 45, 92, 155, 183].map(
      (seed) => [`seed-${seed}`, ['units', 'leads', 'MIDI', 'WAVE']] as const,
    ),
    // Its first lead is none of these, and that alone is written as sound.
    ['seed-63', ['units', 'leads', 'MIDI']],
  ]);

  test.each([firstDemos(), askedCharts()].flat().map((asked) => [asked.name, asked] as const))(
    '%s',
    (name, asked) => {
      const then = first.get(name)!;
      const now: Record<string, string> = firstDigests(today, chartOf(asked), asked.seed);
      for (const what of meant.get(name) ?? []) {
        expect(now[what]).not.toBe(then[what]);
        now[what] = then[what]!;
      }
      expect(now).toEqual(then);
    },
  );
});

describe('the tones of chords as they were from the beginning', () => {
  const since = readChords(CHORDS_SINCE);

  test.each([...readChords(FIRST_CHORDS)].filter(([suffix]) => !NO_CHORDS.includes(suffix)))(
    'C%s',
    (suffix, then) => {
      const chord = unwrap(today.readChord(`C${suffix}`));
      const tones = chord.kind === 'chord' ? chord.tones.map(({ label }) => label).join(' ') : '';
      expect(tones).toBe(since.get(suffix) ?? then);
    },
  );
});
