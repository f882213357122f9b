// The take kit: a WAV with its label is read and judged; a label that does not fit is named.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { toPcm16, wavHeader } from '../../../app/core/exchange/wave/riff.ts';
import { mixGuitar, Plucks } from '../../../app/core/sound/guitar.ts';
import { strumNotes } from '../../../app/core/sound/strum-notes.ts';
import { RECORDED_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { unitVoicings } from '../../../app/core/units/hands/hands.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { agrees, judgeLabelled, labelsIn } from '../../bench/takes/takes.ts';

const KIT = fileURLToPath(new URL('../../bench/takes/kit.txt', import.meta.url));
const RATE = 22_050;
const folder = mkdtempSync(join(tmpdir(), 'rungwise-takes-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The model guitar plays the kit's first section without a fault; answers with where its first bar begins. */
function record(): number {
  const chart = { id: 'kit', ...unwrap(parseChart(readFileSync(KIT, 'utf8'))) };
  const unit = listUnits(chart).find(({ name }) => name === 'Right')!;
  const lap = buildLap(unit, 80, RECORDED_LAP);
  const samples = new Float32Array(Math.ceil((lap.end + 1) * RATE));
  mixGuitar(samples, 0, strumNotes(lap, unit, unitVoicings(unit, chart.shapes)), new Plucks(RATE));
  writeFileSync(
    join(folder, 'one.wav'),
    Buffer.concat([wavHeader(samples.length, RATE), toPcm16(samples)]),
  );
  return lap.unitStart;
}

function label(played: readonly string[], more = {}): string {
  const file = join(folder, 'one.json');
  const words = { chart: KIT, unit: 'Right', bpm: 80, ...more };
  writeFileSync(file, JSON.stringify({ ...words, played }));
  return file;
}

const EIGHT = ['right', 'right', 'right', 'wrong', 'unknown', 'right', 'right', 'right'];

describe('the take kit', () => {
  it('lays what was heard beside the labels, and leaves out what is not known', () => {
    const start = record();
    const all = judgeLabelled(label(EIGHT, { start }));
    expect(labelsIn(folder)).toHaveLength(1);
    expect(all.map(({ played }) => played)).toEqual(EIGHT.filter((word) => word !== 'unknown'));
    expect(all.map(agrees)).toEqual([true, true, true, false, true, true, true]);
  });

  it('names a label that does not fit its chart, and how', () => {
    expect(() => judgeLabelled(label(['right']))).toThrow('"played" has 1 words; ‘Right’ has 8');
    expect(() => judgeLabelled(label(EIGHT, { unit: 'Left' }))).toThrow('no unit ‘Left’');
    expect(() => judgeLabelled(label(['fine']))).toThrow('one.json, "played", word 1: ');
  });

  it('finds nothing where no folder is', () => {
    expect(labelsIn(join(folder, 'none'))).toEqual([]);
  });
});
