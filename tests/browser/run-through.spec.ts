// A song played through in Chromium, on the real audio clock: band, words by line, marks, a drill of one and back, the log.
import fs from 'node:fs';
import path from 'node:path';
import { parseChart } from '../../app/core/chart/notation/parse.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { expect, test, type TestHost } from './host.ts';
import { violationsOn } from './accessible.ts';
import { handle, logged } from './view/short-climb.ts';

const TEXT = `title: Ferry Lights
tempo: 240
meter: 4/4
capo: 2
tuning: drop D
drums: rim

[Verse]
| G | C | G | D |
words: slow-ly | o-ver the | wa-ter | home

[Chorus]
| Em | C | G | D |
words: hold the | lan-tern | high | oh

form:
Verse
Chorus
`;

async function openRun(host: TestHost): Promise<string> {
  const chart = { ...unwrap(parseChart(TEXT)), id: 'ferry' };
  await handle(host, 'charts.save', { chart });
  await handle(host, 'settings.write', { patch: { shown: ['care-before-first-sound'] } });
  return `${host.address}#/run/ferry`;
}

test('the song runs with band and words; a mark leads to a drill and back; the pass is logged, nothing recorded', async ({
  page,
  host,
}) => {
  await page.goto(await openRun(host));
  // A line of words lasts some 5 s.
  await page.getByRole('spinbutton', { name: 'Tempo' }).fill('80');
  await page.getByRole('button', { name: 'Play it through' }).click();

  const title = page.getByRole('heading', { level: 1, name: 'Ferry Lights' });
  await expect(title).toBeFocused({ timeout: 30_000 });
  await expect(page.getByText('Run-through · capo 2, drop D')).toBeVisible();
  const current = page.locator('.line.current');
  await expect(current).toContainText('water');
  await expect(page.locator('.token.on')).toHaveCount(1);
  await page.keyboard.press('x');
  await expect(page.getByText(/it broke here: 1/)).toBeVisible();
  await expect(current).toContainText('lantern');

  const drums = page.getByRole('button', { name: 'Drums' });
  await drums.click();
  await expect(drums).toHaveAttribute('aria-pressed', 'false');
  expect(await violationsOn(page)).toEqual([]);

  await expect(page.getByRole('heading', { name: 'The song is over.' })).toBeVisible();
  expect(await violationsOn(page)).toEqual([]);
  await page.getByRole('button', { name: 'It broke', exact: true }).click();
  await expect.poll(async () => (await logged(host)).map((p) => p.verdict)).toEqual(['missed']);
  const [pass] = await logged(host);
  expect(pass).toMatchObject({ unit: { key: 'form' }, rung: { bpm: 192 }, source: 'self' });
  expect(await handle(host, 'recordings.list', {})).toMatchObject({ all: [] });
  expect(fs.existsSync(path.join(host.directory, 'recordings'))).toBe(false);

  await page.getByRole('button', { name: 'Drill this place' }).click();
  const stage = page.getByRole('region', { name: 'Stage' });
  await expect(stage).toBeVisible();
  await page.keyboard.press('Escape');
  await stage.getByRole('button', { name: 'Back to the song' }).click();
  await expect(page.getByRole('heading', { name: 'Where it broke' })).toBeVisible();
});

test('a song chosen after the room was left and entered again is the one that is played', async ({
  page,
  host,
}) => {
  await page.goto(await openRun(host));
  const song = page.getByRole('combobox', { name: 'Song' });
  const parts = page.getByRole('combobox', { name: 'Part of it' }).getByRole('option');
  await expect(parts.first()).toHaveText('Verse');
  await page.getByRole('link', { name: 'Today' }).click();
  await page.getByRole('link', { name: 'Run-through' }).click();
  await song.selectOption({ label: 'A Lamp for the Bicycle' });
  await expect(parts.first()).toHaveText('Intro');
  await song.selectOption({ label: 'Ferry Lights' });
  await expect(parts.first()).toHaveText('Verse');
});

test('starting at a later bar counts in there and is not logged', async ({ page, host }) => {
  await page.goto(await openRun(host));
  await page.getByRole('spinbutton', { name: 'Tempo' }).fill('100');
  await page.getByRole('spinbutton', { name: 'Start at bar' }).fill('5');
  await page.getByRole('button', { name: 'Play it through' }).click();
  await expect(page.locator('.line.current')).toContainText('hold', { timeout: 30_000 });
  await expect(page.getByText(/so this one is not in the log/)).toBeVisible({ timeout: 30_000 });
  expect(await logged(host)).toEqual([]);
});

test('a set list plays its songs in order, each after the pause of the one before', async ({
  page,
  host,
}) => {
  await page.goto(await openRun(host));
  await page.getByRole('spinbutton', { name: 'Tempo' }).fill('100');
  await page.getByRole('button', { name: 'Add this song' }).click();
  await page.getByRole('button', { name: 'Add this song' }).click();
  await page.getByRole('spinbutton', { name: 'Pause after it' }).first().fill('1');
  await page.getByRole('button', { name: 'Play the set list' }).click();
  await expect(page.getByRole('button', { name: 'Next song' })).toBeVisible({ timeout: 40_000 });
  await expect(page.locator('.line.current')).toContainText('slow', { timeout: 20_000 });
  await page.reload();
  await expect(page.getByRole('spinbutton', { name: 'Pause after it' })).toHaveCount(2);
});

test('a bar pressed while the song is counted in is where it starts, and from the strip it goes on at any other', async ({
  page,
  host,
}) => {
  await page.goto(await openRun(host));
  // A bar is the current one for more than 3 s.
  await page.getByRole('spinbutton', { name: 'Tempo' }).fill('30');
  await page.getByRole('button', { name: 'Play it through' }).click();
  const bars = page.getByRole('list', { name: 'Bars of Verse' });
  await expect(bars.getByRole('button')).toHaveCount(4, { timeout: 30_000 });
  await page.getByRole('button', { name: 'Chorus' }).click();
  await expect(page.locator('.line.current')).toContainText('hold');
  const chorus = page.getByRole('list', { name: 'Bars of Chorus' });
  const third = chorus.getByRole('button', { name: 'Play from bar 3' });
  await third.click();
  await expect(third).toHaveAttribute('aria-current', 'step');
  // At a tempo that leaves time to look at everything while the song runs.
  expect(await violationsOn(page)).toEqual([]);
  await page.getByRole('button', { name: 'End' }).click();
  await expect(page.getByRole('heading', { name: 'You stopped before the end.' })).toBeVisible();
  await expect(page.getByText('You started at bar 7')).toBeVisible();
});

test('how a song was set up is there again: tempo, who plays, bars without the band', async ({
  page,
  host,
}) => {
  await page.goto(await openRun(host));
  await page.getByRole('spinbutton', { name: 'Tempo' }).fill('70');
  await page.getByRole('switch', { name: 'Bass' }).click();
  await page.getByRole('switch', { name: 'Without the band in some bars' }).click();
  await page.getByRole('textbox', { name: 'Silent bars' }).fill('2-4, 99');
  await expect(page.getByText('“99” lies outside bars')).toBeVisible();
  await page.getByRole('textbox', { name: 'Silent bars' }).fill('2-4, 6');
  await page.reload();
  await expect(page.getByRole('spinbutton', { name: 'Tempo' })).toHaveValue('70');
  await expect(page.getByRole('switch', { name: 'Bass' })).not.toBeChecked();
  await expect(page.getByRole('textbox', { name: 'Silent bars' })).toHaveValue('2–4, 6');
});
