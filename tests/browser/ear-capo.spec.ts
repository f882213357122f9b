// A perfect take above a capo, opened in the Ear room: the changes are right, under the names that are fingered.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { unwrap } from '../../app/core/base/result.ts';
import { toPcm16, wavHeader } from '../../app/core/exchange/wave/riff.ts';
import { mixGuitar } from '../../app/core/sound/guitar.ts';
import { plucksAt } from '../support/plucks.ts';
import { strumNotes } from '../../app/core/sound/strum-notes.ts';
import { BARE_LAP } from '../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../app/core/timeline/lap.ts';
import { unitVoicings } from '../../app/core/units/hands/hands.ts';
import { resolveUnit } from '../../app/core/units/resolve.ts';
import { demoCharts } from '../../app/services/machine/demo-charts.ts';
import { expect, test } from './host.ts';
import { handle } from './view/short-climb.ts';

const RATE = 44_100;
const BPM = 54;
const PAUSE = 0.8;
const chart = demoCharts().find(({ capo }) => capo > 0)!;
const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'Verse' }));
const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-capo-'));
const wav = path.join(folder, 'capo.wav');
test.afterAll(() => fs.rmSync(folder, { recursive: true, force: true }));
test.describe.configure({ timeout: 120_000 });

function perfectTake(): Uint8Array {
  const lap = buildLap(unit, BPM, BARE_LAP);
  const out = new Float32Array(Math.round((lap.end + 2 * PAUSE) * RATE));
  const notes = strumNotes(lap, unit, unitVoicings(unit, chart.shapes));
  mixGuitar(out, -PAUSE * RATE, notes, plucksAt(RATE));
  return Buffer.concat([wavHeader(out.length, RATE), toPcm16(out.map((x) => 0.5 * x))]);
}

test('a take of a chart with a capo is judged by what sounds and named by what is gripped', async ({
  page,
  host,
}) => {
  expect(chart.capo).toBeGreaterThan(0);
  fs.writeFileSync(wav, perfectTake());
  await handle(host, 'settings.write', { patch: { shown: ['care-before-first-sound'] } });
  await page.goto(`${host.address}#/ear`);
  await page.getByRole('combobox', { name: 'Chart' }).selectOption({ label: chart.title });
  await page.getByRole('combobox', { name: 'Part' }).selectOption({ label: unit.name });
  await page.getByRole('spinbutton', { name: 'Tempo' }).fill(String(BPM));
  await page.locator('input[type=file]').setInputFiles(wav);
  const result = page.getByRole('group', { name: 'What the ear heard' });
  await expect(result).toContainText('capo.wav', { timeout: 60_000 });
  const words = await result.getByRole('listitem').locator('.unseen').allInnerTexts();
  expect(words.length).toBeGreaterThan(5);
  // One chord in five may be misheard, with a capo as without; none is taken for its sounding name.
  const right = words.filter((said) => said.includes('right and in time')).length;
  expect(right / words.length).toBeGreaterThanOrEqual(0.8);
  expect(words.join()).toContain('D → Bm');
  await expect(page.getByText(/Every chord sounds/)).toBeHidden();
});
