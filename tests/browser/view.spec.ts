// The shell: rooms by keyboard, focus, the sheet of keys, theme, last room, and nothing refused by the content policy.
import { violationsOn } from './accessible.ts';
import { expect, test } from './host.ts';
import { glimpse, openShortClimb } from './view/short-climb.ts';
import { chartText } from './view/chart-text.ts';

test('rooms open by Alt and digit, take the focus, and are remembered', async ({
  trainer: page,
}) => {
  const links = page.getByRole('navigation', { name: 'Rooms' }).getByRole('link');
  await expect(links.first()).toBeVisible();
  const names = await links.allInnerTexts();
  for (const [i, name] of names.slice(0, 9).entries()) {
    await page.keyboard.press(`Alt+Digit${i + 1}`);
    await expect(links.nth(i)).toHaveAttribute('aria-current', 'page');
    await expect(page).toHaveTitle(`${name.trim()} · Rungwise`);
  }
  await page.keyboard.press('Alt+Digit3');
  await expect(page.locator('[data-room-title]')).toBeFocused();
  await expect(page).toHaveTitle(`${names[2]?.trim()} · Rungwise`);
  const third = await page.title();
  await page.goto(new URL('/', page.url()).href);
  await expect(page).toHaveTitle(third);
});

test('Alt and a digit write in a text field and in the text of a chart, and open no room; `?` too', async ({
  trainer: page,
}) => {
  await page.getByRole('button', { name: 'New chart' }).click();
  const pasted = page.getByRole('textbox', { name: 'Paste what you have' });
  await pasted.focus();
  const title = await page.title();
  const press = async () => {
    for (const digit of ['3', '5', '7', '0']) await page.keyboard.press(`Alt+Digit${digit}`);
  };
  await press();
  await expect(pasted).toBeFocused();
  await expect(page).toHaveTitle(title);

  await pasted.fill('[Verse]\nG  D\nDown by the\n');
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  const text = chartText(page);
  await text.click();
  const editing = await page.title();
  await press();
  await page.keyboard.type('# why?');
  await expect(text).toContainText('# why?');
  await expect(text).toBeFocused();
  await expect(page).toHaveTitle(editing);
  await expect(page.getByRole('dialog')).toHaveCount(0);
});

test('an address that names no room opens today', async ({ trainer: page }) => {
  await page.goto(`${new URL(page.url()).origin}/#/nowhere/%`);
  await expect(page.getByRole('heading', { level: 1, name: 'Today' })).toBeVisible();
});

test('three presses lead from the first start to the first click', async ({ page, host }) => {
  await page.goto(host.address);
  await expect(page.getByRole('button', { name: /^Begin/ })).toBeVisible();
  await page.keyboard.press('Space');
  const care = page.getByRole('dialog', { name: 'Before the first sound' });
  await expect(care).toBeVisible();
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await glimpse(page.getByText(/count-in at/));
  await page.keyboard.press('Escape');
});

test('at 200 % zoom chord, shape and verdict have the stage to themselves', async ({
  page,
  host,
}) => {
  // 1440 × 900 at 200 % (WCAG 2.2, 1.4.4).
  await page.setViewportSize({ width: 720, height: 450 });
  // The tour, which stands in a row of its own once, has tests of its own (stage-clear.spec.ts).
  await openShortClimb(page, host, {
    ladder: { unit: 'section:Verse', rules: { start: 60 } },
    settings: { shown: ['care-before-first-sound', 'tour'] },
  });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await expect(page.getByText('now', { exact: true })).toBeVisible();
  const box = async (selector: string) => (await page.locator(selector).boundingBox())!;
  const [symbol, shape, foot] = [
    await box('.now .symbol'),
    await box('.now svg'),
    await box('.stage > .bars'),
  ];
  expect(symbol.height).toBeGreaterThan(50);
  expect(shape.height).toBeGreaterThan(80);
  expect(Math.max(symbol.y + symbol.height, shape.y + shape.height)).toBeLessThan(foot.y);
  expect(foot.y + foot.height).toBeLessThanOrEqual(450);
  await page.keyboard.press('Escape');
});

test('nothing on the stage moves from bar to bar, where a lead line begins, or a line of bars ends', async ({
  page,
  host,
}) => {
  // Four bars at 240 bpm, a second each; a lead line stands over the last two.
  await openShortClimb(page, host, { ladder: { unit: 'section:Outro', rules: { start: 240 } } });
  const watched = page.evaluate(async () => {
    const places = new Set<string>();
    const bars = new Set<string>();
    const isOn = () => document.querySelector('.stage > .now .strong') !== null;
    while (!isOn()) await new Promise((next) => requestAnimationFrame(next));
    while (isOn()) {
      const boxes = ['.ladder', '.now', '.next', '.bars'].map((part) => {
        const { x, y, width, height } = document
          .querySelector(`.stage > ${part}`)!
          .getBoundingClientRect();
        return [x, y, width, height].map(Math.round).join(' ');
      });
      places.add(boxes.join(', '));
      bars.add(document.querySelector('[aria-current="true"]')?.textContent ?? '');
      await new Promise((next) => requestAnimationFrame(next));
    }
    return { places: [...places], bars: bars.size };
  });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const seen = await watched;
  expect(seen.bars).toBeGreaterThan(2);
  expect(seen.places).toHaveLength(1);
  await page.keyboard.press('Escape');
});

test('on the stage no key of the sheet lies over another line', async ({ page, host }) => {
  await openShortClimb(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await glimpse(page.getByText(/count-in at/));
  await page.keyboard.press('?');
  const sheet = page.getByRole('dialog', { name: 'Keys' });
  await expect(sheet.getByRole('heading', { name: 'While climbing' })).toBeVisible();
  await expect(sheet.getByRole('heading', { name: 'Rooms' })).toBeHidden();
  const wide = await sheet
    .locator('dt, dd')
    .evaluateAll((cells) =>
      cells.filter((cell) => cell.scrollWidth > cell.clientWidth).map((cell) => cell.textContent),
    );
  expect(wide).toEqual([]);
  await page.keyboard.press('Escape');
});

test('the skip link leads past the rail', async ({ trainer: page }) => {
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
  await page.keyboard.press('Tab');
  await expect(page.getByRole('link', { name: 'Skip to the room' })).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(page.locator('#main')).toBeFocused();
});

test('the sheet of keys opens on ? but not while typing', async ({ trainer: page }) => {
  await page.getByRole('searchbox').press('?');
  await expect(page.getByRole('dialog', { name: 'Keys' })).toBeHidden();
  await page.getByRole('heading', { level: 1 }).focus();
  await page.keyboard.press('?');
  await expect(page.getByRole('dialog', { name: 'Keys' })).toContainText('This sheet');
  await page.keyboard.press('Escape');
  await expect(page.getByRole('dialog', { name: 'Keys' })).toBeHidden();
});

test('theme and levels are kept', async ({ trainer: page }) => {
  await page.goto(`${new URL(page.url()).origin}/#/care`);
  await page.getByRole('combobox', { name: 'Theme' }).selectOption('Dark: wood');
  await expect(page.locator('html')).toHaveAttribute('data-theme', 'dark');
  await page.getByRole('slider', { name: 'Cue' }).fill('30');
  await page.getByRole('switch', { name: 'Left-handed' }).check();
  await page.reload();
  await expect(page.locator('html')).toHaveAttribute('data-theme', 'dark');
  await expect(page.getByRole('slider', { name: 'Cue' })).toHaveValue('30');
  await expect(page.getByRole('switch', { name: 'Left-handed' })).toBeChecked();
});

test('trying a voice first asks to start quiet', async ({ trainer: page }) => {
  await page.goto(`${new URL(page.url()).origin}/#/care`);
  await page.getByRole('button', { name: 'Try Beat' }).click();
  const care = page.getByRole('dialog', { name: 'Before the first sound' });
  await care.getByRole('button', { name: 'Not now' }).click();
  await expect(page.getByText(/is known once something has sounded/)).toBeVisible();
  await page.getByRole('button', { name: 'Try Beat' }).click();
  await care.getByRole('button', { name: /turned it down/ }).click();
  await expect(page.getByText(/sound leaves \d+ ms after it is made/)).toBeVisible();
  for (const voice of ['Model guitar', 'Drums', 'Bass']) {
    await page.getByRole('button', { name: `Try ${voice}` }).click();
    await expect(page.getByRole('alert')).toHaveCount(0);
  }
});

test('no room breaks the content policy, throws, or scrolls sideways, at 320 pixels neither (WCAG 2.2, 1.4.10)', async ({
  trainer: page,
}) => {
  const faults: string[] = [];
  page.on('console', (m) => m.type() === 'error' && faults.push(m.text()));
  page.on('pageerror', (e) => faults.push(e.message));
  const links = page.getByRole('navigation', { name: 'Rooms' }).getByRole('link');
  await expect(links.first()).toBeVisible();
  for (const link of await links.all()) {
    await link.click();
    await expect(link).toHaveAttribute('aria-current', 'page');
    await expect(page.locator('[data-room-title]')).toBeFocused();
    // A small window, and 1280 pixels at 400 %.
    for (const size of [
      { width: 1024, height: 700 },
      { width: 320, height: 640 },
    ]) {
      await page.setViewportSize(size);
      const over = await page.locator('main').evaluate((e) => e.scrollWidth - e.clientWidth);
      expect.soft(over, `${await page.title()}, ${size.width} wide`).toBeLessThanOrEqual(0);
    }
  }
  expect(faults).toEqual([]);
});

test('a standing problem stays across the rooms until it is gone', async ({
  trainer: page,
  host,
}) => {
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
  const problem = {
    code: 'log-unwritable',
    message: 'The log cannot be written: the disk is full.',
    cure: 'Make room; what you judge is kept until then.',
    since: '2031-04-05T18:20:00.000+02:00',
  };
  const standing = page.getByRole('region', { name: 'Standing problems' });
  await expect(async () => {
    host.services.emit('problems', [problem]);
    await expect(standing).toContainText('the disk is full', { timeout: 500 });
  }).toPass();
  await page.getByRole('link', { name: 'Log', exact: true }).click();
  await expect(standing).toContainText('the disk is full');
  host.services.emit('problems', []);
  await expect(standing).toBeEmpty();
});

test('several standing problems are one line that unfolds, and the room keeps its place', async ({
  page,
  host,
}) => {
  await page.goto(host.address);
  const title = page.getByRole('heading', { name: 'Today', level: 1 });
  await expect(title).toBeVisible();
  const problems = ['first', 'second', 'third', 'fourth'].map((one) => ({
    code: one,
    message: `The ${one} file could not be understood.`,
    cure: 'Keep it. '.repeat(20),
    since: '2031-04-05T12:00:00Z',
  }));
  const standing = page.getByRole('region', { name: 'Standing problems' });
  // Charts are looked through a little after a start, and what is found then takes the place of these.
  await expect(async () => {
    host.services.emit('problems', problems);
    await expect(standing).toContainText('4 messages', { timeout: 2000 });
    await expect(title).toBeInViewport();
    expect((await standing.boundingBox())!.height).toBeLessThan(80);
    await standing.locator('summary').press('Enter', { timeout: 2000 });
    const one = standing.getByText('The first file could not be understood.');
    await expect(one).toBeVisible({ timeout: 2000 });
    await expect(title).toBeInViewport();
    expect(await violationsOn(page), 'unfolded').toEqual([]);
    await expect(one).toBeVisible({ timeout: 2000 });
    await standing.locator('summary').press('Enter', { timeout: 2000 });
  }).toPass();
  await expect(async () => {
    host.services.emit('problems', problems.slice(1, 2));
    await expect(standing.getByText('The second file could not be understood.')).toBeVisible({
      timeout: 2000,
    });
  }).toPass();
  host.services.emit('problems', []);
  await expect(standing).toBeEmpty();
});

test('the native menu opens rooms, a new chart, and the question which files to bring in', async ({
  trainer: page,
  host,
}) => {
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
  await expect(async () => {
    host.services.emit('menu', { action: 'show-log' });
    await expect(page).toHaveTitle('Log · Rungwise', { timeout: 500 });
  }).toPass();
  host.services.emit('menu', { action: 'new-chart' });
  await expect(chartText(page)).toBeVisible();
  await page.getByRole('button', { name: 'Type it all myself' }).click();
  host.services.emit('menu', { action: 'import-chart' });
  const question = page.getByRole('dialog', { name: 'Bring in charts' });
  await expect(question).toBeVisible();
  await question.getByRole('button', { name: 'Done' }).click();
  host.services.emit('menu', { action: 'export-chart' });
  await expect(page.getByText(/Open the chart that is to be exported/)).toBeVisible();
  host.services.emit('menu', { action: 'show-keys' });
  await expect(page.getByRole('dialog', { name: 'Keys' })).toBeVisible();
});

test('who asks the system for less motion gets none', async ({ trainer: page }) => {
  const button = page.getByRole('button', { name: 'New chart' });
  const moves = () => button.evaluate((e) => parseFloat(getComputedStyle(e).transitionDuration));
  await expect(button).toBeVisible();
  expect(await moves()).toBeGreaterThan(0);
  await page.emulateMedia({ reducedMotion: 'reduce' });
  expect(await moves()).toBe(0);
});
