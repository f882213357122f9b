// A run-through is recorded through Chromium's own fake microphone, played, named, given, heard by the teacher, thrown away.
import fs from 'node:fs';
import path from 'node:path';
import type { Page } from '@playwright/test';
import { parseChart } from '../../app/core/chart/notation/parse.ts';
import { unwrap } from '../../app/core/base/result.ts';
import type { Recordings } from '../../app/services/contract/recordings.ts';
import { GATE_MS } from '../../renderer/input/controls.ts';
import { violationsOn } from './accessible.ts';
import { expect, startHost, test, type TestHost } from './host.ts';
import { FakePedal, installFakeMidi, RECORD } from './pedals/fake-midi.ts';
import { handle, judgeNext, openShortClimb } from './view/short-climb.ts';

const TEXT = `title: Ferry Lights
tempo: 240
meter: 4/4

[Verse]
| G | C | G | D |

form:
Verse
`;
const chart = { ...unwrap(parseChart(TEXT)), id: 'ferry' };
const AT = '2031-04-05T18:20:00Z';

async function setUp(host: TestHost): Promise<void> {
  await handle(host, 'charts.save', { chart });
  await handle(host, 'settings.write', { patch: { shown: ['care-before-first-sound'] } });
}
const soundsIn = (host: TestHost): readonly string[] => {
  const folder = path.join(host.directory, 'recordings');
  return fs.existsSync(folder) ? fs.readdirSync(folder).toSorted() : [];
};

async function openRun(page: Page, host: TestHost): Promise<void> {
  await page.goto(`${host.address}#/run/ferry`);
  await page.getByRole('spinbutton', { name: 'Tempo' }).fill('100');
}
const choose = (page: Page) =>
  page.getByRole('switch', { name: 'Keep a recording of this run-through' }).click();
const begin = (page: Page) => page.getByRole('button', { name: 'Play it through' }).click();
const sign = (page: Page) => page.getByRole('group', { name: 'Recording', exact: true });
const player = (page: Page) => page.getByLabel(/Listen to the recording of Ferry Lights/);

/** Plays what was recorded, and hears that it goes on. */
async function listen(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Listen', exact: true }).click();
  const heard = player(page);
  await expect(heard).toBeVisible();
  await expect
    .poll(() => heard.evaluate((one: HTMLAudioElement) => one.currentTime), { timeout: 30_000 })
    .toBeGreaterThan(0.2);
  const length = () => heard.evaluate((one: HTMLAudioElement) => one.duration);
  await expect.poll(length).toBeLessThan(120);
  expect(await length()).toBeGreaterThan(2);
}

test('what was chosen is recorded under a sign, kept as a file, played, named, and thrown away', async ({
  page,
  host,
}) => {
  await setUp(host);
  await openRun(page, host);
  await choose(page);
  await expect(page.getByText('ask them first')).toBeVisible();
  expect(await violationsOn(page)).toEqual([]);
  await begin(page);
  await expect(sign(page)).toBeVisible({ timeout: 60_000 });
  await expect(page.getByRole('heading', { name: 'The song is over.' })).toBeVisible({
    timeout: 60_000,
  });
  await expect(sign(page)).toBeHidden();
  await expect
    .poll(() => soundsIn(host))
    .toEqual([
      expect.stringMatching(/ Ferry Lights\.json$/),
      expect.stringMatching(/ Ferry Lights\.webm$/),
    ]);
  await listen(page);
  expect(await violationsOn(page)).toEqual([]);

  await page.getByRole('button', { name: 'Clean', exact: true }).click();
  await page.goto(`${host.address.split('#')[0]}#/history`);
  const panel = page.getByRole('region', { name: 'Recordings' });
  await expect(panel).toContainText('Ferry Lights');
  await panel.getByRole('button', { name: 'Add words' }).click();
  await panel.getByRole('textbox', { name: 'Words about it' }).fill('the turn holds');
  await panel.getByRole('button', { name: 'Keep the words' }).click();
  await expect(panel.getByText('the turn holds')).toBeVisible();
  expect(await violationsOn(page)).toEqual([]);

  const saved = page.waitForEvent('download');
  await panel.getByRole('button', { name: 'Save as a file' }).click();
  expect((await saved).suggestedFilename()).toMatch(/Ferry Lights\.webm$/);
  // Nobody is there to give it to.
  await expect(panel.getByRole('button', { name: /Give it/ })).toHaveCount(0);
  await panel.getByRole('button', { name: 'Throw away' }).click();
  await panel.getByRole('button', { name: 'Throw it away for good' }).click();
  await expect(panel).toBeHidden();
  await expect.poll(() => soundsIn(host)).toEqual([]);
});

test('it ends by a press while the song goes on, and with the song that is left', async ({
  page,
  host,
}) => {
  await setUp(host);
  await openRun(page, host);
  await page.getByRole('spinbutton', { name: 'Tempo' }).fill('30');
  await choose(page);
  await begin(page);
  // Without any sound yet none of them would be kept.
  await expect(sign(page)).toContainText('0:01', { timeout: 60_000 });
  await page.getByRole('button', { name: 'End the recording' }).click();
  await expect(sign(page)).toBeHidden();
  await expect.poll(() => states(host)).toEqual(['whole']);
  await page.getByRole('button', { name: 'End', exact: true }).click();
  // The key that records ends it as well.
  await page.getByRole('button', { name: 'Once more' }).click();
  await expect(sign(page)).toContainText('0:02', { timeout: 60_000 });
  await page.keyboard.press('r');
  await expect(sign(page)).toBeHidden();
  await expect.poll(() => states(host)).toEqual(['whole', 'whole']);
  await page.getByRole('button', { name: 'End', exact: true }).click();
  await page.getByRole('button', { name: 'Once more' }).click();
  await expect(sign(page)).toContainText('0:01', { timeout: 60_000 });
  await page.evaluate(() => (window.location.hash = '#/history'));
  await expect(page.getByText('The recording ended when you left the song.')).toBeVisible();
  await expect.poll(() => states(host)).toEqual(['whole', 'whole', 'whole']);
});

const states = async (host: TestHost): Promise<readonly string[]> =>
  ((await handle(host, 'recordings.list', {})) as Recordings).all.map(({ state }) => state);

test('given into the shared folder, the teacher hears it beside the run; taken back, it is gone', async ({
  page,
  host,
}) => {
  await setUp(host);
  const shared = fs.mkdtempSync(path.join(host.directory, 'shared-'));
  await handle(host, 'shared.choose', { folder: shared });
  const own = { id: 'self', name: '', since: AT, assignments: [], comments: [] };
  const list = { id: 'id-ada', name: 'Ada', teacher: 'Ms Tern' };
  await handle(host, 'students.save', { student: { ...own, knownTo: [list] } });
  await openRun(page, host);
  await choose(page);
  await begin(page);
  await expect(page.getByRole('heading', { name: 'The song is over.' })).toBeVisible({
    timeout: 60_000,
  });
  await page.getByRole('button', { name: 'Give it …' }).click();
  await page.getByRole('button', { name: 'Give it to Ms Tern' }).click();
  await expect(page.getByText('in the shared folder, for Ms Tern')).toBeVisible();

  const teacher = await startHost();
  try {
    await handle(teacher, 'students.save', { student: { ...own, id: 'id-ada', name: 'Ada' } });
    await handle(teacher, 'shared.choose', { folder: shared });
    const desk = await page.context().newPage();
    await desk.goto(`${teacher.address}#/history/-/-/id-ada`);
    const panel = desk.getByRole('region', { name: 'Recordings' });
    await expect(panel).toContainText('Ferry Lights');
    await expect(panel.getByRole('button', { name: 'Throw away' })).toHaveCount(0);
    await listen(desk);
    await page.getByRole('button', { name: 'Take it back' }).click();
    await expect(page.getByText('in the shared folder, for')).toBeHidden();
    await desk.reload();
    await expect(desk.getByRole('heading', { name: 'History' })).toBeVisible();
    await expect(panel).toBeHidden();
  } finally {
    await teacher.close();
  }
});

/** Sound may lag on a busy machine. */
const SOON = { timeout: 60_000 };
const climb = (page: Page) => page.getByRole('button', { name: 'Climb', exact: true }).click();

test('the first pass of a climb is recorded where that was chosen, with its own verdict, and no other', async ({
  page,
  host,
}) => {
  await openShortClimb(page, host, { chart, ladder: { unit: 'section:Verse' } });
  await page.getByText('Click, guitar to play along with, and ear').click();
  await page.getByRole('switch', { name: 'Keep a recording of the first pass' }).click();
  await climb(page);
  await expect(sign(page)).toBeVisible(SOON);
  await judgeNext(page, 1, 'ArrowUp');
  await expect(page.getByText(/Pass 1 was recorded/)).toBeVisible(SOON);
  await expect(sign(page)).toHaveCount(0);
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  // After the climb it can be heard at once; it says how that one pass was judged.
  const item = page.getByRole('listitem').filter({ hasText: 'Ferry Lights' });
  await expect(item).toHaveCount(1);
  await expect(item).toContainText('clean');
  await listen(page);
  expect(await violationsOn(page)).toEqual([]);
  expect(soundsIn(host).filter((name) => name.endsWith('.webm'))).toHaveLength(1);
  await page.goto(`${host.address.replace(/\?.*/, '')}#/history`);
  const panel = page.getByRole('region', { name: 'Recordings' });
  await expect(panel).toContainText('Verse');
  await expect(panel).toContainText('clean');
});

test('a pass is asked for by a key or a foot switch, called off, and ended, with both hands on the guitar', async ({
  page,
  host,
}) => {
  await installFakeMidi(page);
  const pedal = new FakePedal(page, 'Blue Switch');
  await openShortClimb(page, host, { chart, ladder: { unit: 'section:Verse' } });
  await page.evaluate(() => (location.hash = '#/pedals'));
  await page.getByRole('button', { name: 'Use MIDI pedals' }).click();
  await pedal.plug();
  await expect(page.getByRole('row', { name: /^Record/ })).toContainText('control 66');
  await page.evaluate(() => (location.hash = '#/climb/ferry/section:Verse'));
  await climb(page);
  const record = page.getByRole('button', { name: 'Record the next pass' });
  await expect(record).toBeVisible();
  await page.keyboard.press('?');
  await expect(page.getByRole('dialog', { name: 'Keys' })).toContainText('Record the next pass');
  await page.keyboard.press('Escape');
  await page.keyboard.press(' ');
  await expect(page.getByText('Paused.').first()).toBeVisible();
  // A press sooner after the one before would be taken for its echo.
  const apart = () => page.waitForTimeout(2 * GATE_MS);
  await pedal.send(RECORD);
  await expect(record).toHaveAttribute('aria-pressed', 'true');
  await apart();
  await page.keyboard.press('r');
  await expect(record).toHaveAttribute('aria-pressed', 'false');
  await apart();
  await page.keyboard.press('r');
  await expect(record).toHaveAttribute('aria-pressed', 'true');
  await page.keyboard.press(' ');
  await expect(sign(page)).toBeVisible(SOON);
  await pedal.send(RECORD);
  await expect(sign(page)).toBeHidden(SOON);
  await expect.poll(() => states(host)).toEqual(['whole']);
});

test('a pass is asked for on the stage, or called off; what is closed in the middle is kept', async ({
  page,
  host,
}) => {
  await openShortClimb(page, host, { chart, ladder: { unit: 'section:Verse' } });
  await climb(page);
  const record = page.getByRole('button', { name: 'Record the next pass' });
  await record.click();
  await expect(page.getByText('The next pass will be recorded')).toBeVisible();
  await expect(sign(page)).toBeVisible(SOON);
  const list = async () => ((await handle(host, 'recordings.list', {})) as Recordings).all;
  await expect.poll(async () => (await list())[0]?.bytes ?? 0, SOON).toBeGreaterThan(0);
  await page.goto('about:blank');
  const [kept] = await list();
  expect(kept!.note.pass).toBeDefined();
  expect(kept!.note.seconds).toBeUndefined();
});
