// The Log room on a log that was there before: share clean first, who judged, filters, long courses.
import type { PassRecord } from '../../app/core/model/pass.ts';
import { expect, test, type TestHost } from './host.ts';
import { handle } from './view/short-climb.ts';

const LONG = 'The Long Way Round by Way of the Old Canal Bridge and Back';

function pass(n: number, change: Partial<PassRecord>): PassRecord {
  return {
    id: `p${n}`,
    at: `2021-04-0${1 + (n % 5)}T18:${String(n).padStart(2, '0')}:00.000+02:00`,
    session: `s${n % 5}`,
    climb: 'c',
    chart: { id: 'a', title: 'Small Hours' },
    unit: { key: 'section:Verse', name: 'Verse', fingerprint: 'f' },
    rung: { bpm: 80 + n, beat: 'quarter', index: 0, of: 5, target: 120 },
    verdict: n % 4 === 0 ? 'missed' : 'clean',
    source: 'self',
    cold: false,
    duration: 30,
    ...change,
  };
}

async function fill(host: TestHost): Promise<void> {
  const verse = Array.from({ length: 20 }, (_, n) => pass(n, {}));
  const bridge = Array.from({ length: 6 }, (_, n) =>
    pass(30 + n, {
      source: 'ear',
      chart: { id: 'b', title: LONG },
      unit: { key: 'section:Bridge', name: 'Bridge', fingerprint: 'g' },
    }),
  );
  const entries = [...verse, ...bridge].map((p) => ({
    kind: 'pass',
    pass: p,
    unit: { fingerprint: p.unit.fingerprint, bars: [] },
  }));
  await handle(host, 'log.append', { entries });
}

test('an empty log says what will be here', async ({ trainer: page }) => {
  await page.goto(`${new URL(page.url()).origin}/#/log`);
  await expect(page.getByRole('heading', { name: 'No passes yet' })).toBeVisible();
});

test('each unit shows share clean, best clean tempo, time and who judged', async ({
  page,
  host,
}) => {
  await fill(host);
  await page.goto(`${host.address}#/log`);
  const verse = page.getByRole('article', { name: 'Verse of Small Hours' });
  await expect(verse).toContainText('75 %');
  await expect(verse).toContainText('15 clean, 5 missed');
  await expect(verse).toContainText('= 99');
  await expect(verse).toContainText('10 min');
  await expect(verse).toContainText('yourself 20');
  await expect(verse.getByRole('img', { name: /passes went/ })).toHaveCount(3);
  await verse.getByRole('button', { name: 'Show all sittings' }).click();
  await expect(verse.getByRole('img', { name: /passes went/ })).toHaveCount(5);
});

test('the log is filtered by words, chart, time and judge', async ({ page, host }) => {
  await fill(host);
  await page.goto(`${host.address}#/log`);
  const units = page.getByRole('article');
  await expect(units).toHaveCount(2);
  await page.getByRole('searchbox', { name: 'Words' }).fill('canal bridge');
  await expect(units).toHaveCount(1);
  await page.getByRole('searchbox', { name: 'Words' }).fill('');
  await page.getByRole('combobox', { name: 'Judged by' }).selectOption('The ear');
  await expect(units).toHaveText([/the ear 6/]);
  await page.getByRole('combobox', { name: 'Chart' }).selectOption('Small Hours');
  await expect(page.getByText('Nothing fits these filters.')).toBeVisible();
  await page.getByRole('combobox', { name: 'Judged by' }).selectOption('Anyone');
  await page.getByRole('combobox', { name: 'Time' }).selectOption('Today');
  await expect(units).toHaveCount(0);
});
