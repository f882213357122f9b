// The chart editor's tools: a sheet pasted three ways, guessed bars put right by clicks, palette, strums, one undo for all.
import type { Page } from '@playwright/test';
import { expect, test } from './host.ts';
import { chartText } from './view/chart-text.ts';

const bars = (page: Page, section: string) =>
  page.getByRole('list', { name: `Bars of ${section}`, exact: true }).getByRole('listitem');
const tools = (page: Page) => page.getByRole('group', { name: 'Change the bar at the cursor' });

const SHEET = `Low Water

[Verse]
G          D        Em
Down by the harbour lights

[Chorus]
C        D
Sail on, sail on
`;

async function startWith(page: Page, sheet: string) {
  await page.getByRole('button', { name: 'New chart' }).click();
  await page.getByRole('textbox', { name: 'Paste what you have' }).fill(sheet);
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  // Behind an open question the text can be seen, but takes no key.
  await expect(page.getByRole('dialog')).toBeHidden();
  await expect(chartText(page)).toBeVisible();
}

test('a pasted sheet becomes a draft whose guessed bars are put right by clicks', async ({
  trainer: page,
}) => {
  await startWith(page, SHEET);
  await expect(page.getByText(/Bar lines are guessed/)).toBeVisible();
  await expect(bars(page, 'Verse')).toHaveText([
    /Bar 1, G, words: Down by the, bar lines guessed/,
    /Bar 2, D, words: harbour/,
    /Bar 3, Em, words: lights/,
  ]);

  await bars(page, 'Verse').nth(1).getByRole('button').click();
  await expect(tools(page)).toContainText('Bar 2 of Verse');
  await tools(page).getByRole('button', { name: 'Join with the next bar' }).click();
  await expect(bars(page, 'Verse')).toHaveCount(2);
  await expect(bars(page, 'Verse').nth(1)).toContainText('D, Em on beat 3, words: harbour lights');

  await page.getByRole('list', { name: 'Bars of Verse' }).getByRole('button').first().click();
  await tools(page).getByRole('button', { name: 'Last word into the next bar' }).click();
  await expect(bars(page, 'Verse').nth(1)).toContainText('words: the harbour lights');
  await tools(page).getByRole('button', { name: 'This line is right' }).click();
  await expect(bars(page, 'Verse').first()).not.toContainText('guessed');
  await expect(bars(page, 'Chorus').first()).toContainText('guessed');

  // One history for typing and every button.
  await chartText(page).focus();
  for (let steps = 0; steps < 3; steps++) await page.keyboard.press('Control+z');
  await expect(bars(page, 'Verse')).toHaveCount(3);
});

test('a sheet comes into a chart that is there, and straight into the text', async ({
  trainer: page,
  context,
}) => {
  await context.grantPermissions(['clipboard-read', 'clipboard-write']);
  await startWith(page, 'title: Harbour\ntempo: 96\n\n[Verse]\n| G | C |\n\nform:\nVerse\n');
  await page.getByRole('button', { name: 'Paste a sheet' }).click();
  const dialog = page.getByRole('dialog', { name: 'Paste into this chart' });
  await dialog.getByRole('textbox').fill('nothing to play here');
  await dialog.getByRole('button', { name: 'Add its sections' }).click();
  await expect(dialog.getByRole('alert')).toContainText('No chords were found');
  await dialog.getByRole('textbox').fill(SHEET);
  await dialog.getByRole('button', { name: 'Add its sections' }).click();
  await expect(bars(page, 'Verse 2')).toHaveCount(3);
  await expect(bars(page, 'Chorus')).toHaveCount(2);

  await chartText(page).focus();
  await page.keyboard.press('Control+Home');
  for (let line = 0; line < 4; line++) await page.keyboard.press('ArrowDown');
  await page.keyboard.press('End');
  await page.keyboard.press('Enter');
  await page.evaluate(() => navigator.clipboard.writeText('Am        F\nup the hill again\n'));
  await page.keyboard.press('Control+v');
  await expect(bars(page, 'Verse').nth(2)).toContainText('Am, words: up the');
  await page.keyboard.press('Control+z');
  await expect(chartText(page)).toContainText('up the hill again');
  await page.keyboard.press('Control+z');
  await expect(bars(page, 'Verse')).toHaveCount(2);
});

test('palette, strums and sections: clicked, dragged, copied and moved', async ({
  trainer: page,
}) => {
  await startWith(
    page,
    'title: Harbour\nkey: G\ntempo: 96\n\n[Verse]\n| G |\n\n[Chorus]\n| D |\n\nform:\nVerse\nChorus\n',
  );
  await bars(page, 'Verse').first().getByRole('button').click();
  await tools(page).getByRole('button', { name: 'Copy the section' }).click();
  await expect(bars(page, 'Verse 2')).toHaveCount(1);

  // The same by keys, with the cursor in the text; it goes along, and undo takes back one at a time.
  const order = () =>
    chartText(page).locator('.cm-line').filter({ hasText: /^\[/ }).allTextContents();
  await chartText(page).getByText('[Verse 2]').click();
  await page.keyboard.press('Alt+PageDown');
  await expect.poll(order).toEqual(['[Verse]', '[Chorus]', '[Verse 2]']);
  await page.keyboard.press('Alt+PageUp');
  await page.keyboard.press('Alt+PageUp');
  await expect.poll(order).toEqual(['[Verse 2]', '[Verse]', '[Chorus]']);
  await page.keyboard.press('Alt+PageUp');
  await expect(page.getByText('‘Verse 2’ cannot go further up.')).toBeVisible();
  await page.keyboard.press('Alt+Shift+PageDown');
  await expect.poll(order).toEqual(['[Verse 2]', '[Verse 3]', '[Verse]', '[Chorus]']);
  const said = page.getByText('‘Verse 2’ is copied below.');
  await expect(said).toBeVisible();
  // What is undone is said no longer; by itself the remark would stay for eight seconds.
  await page.keyboard.press('Control+z');
  await expect(said).toBeHidden({ timeout: 4_000 });
  for (let step = 0; step < 3; step++) await page.keyboard.press('Control+z');
  await expect.poll(order).toEqual(['[Verse]', '[Verse 2]', '[Chorus]']);

  await page.locator('summary', { hasText: 'Chords to type' }).click();
  const em = page.getByRole('button', { name: /^Em vi/ });
  await expect(em).toBeVisible();
  await em.dragTo(page.locator('.cm-line', { hasText: '| D |' }), {
    targetPosition: { x: 24, y: 8 },
  });
  await expect(chartText(page)).toContainText(/Em\s+D|D\s*Em/);

  await page.locator('summary', { hasText: 'Strums to type' }).click();
  await chartText(page).focus();
  await page.keyboard.press('Control+Home');
  for (let line = 0; line < 5; line++) await page.keyboard.press('ArrowDown');
  await page.getByRole('button', { name: /Type it ?: eighths, down and up/ }).click();
  await expect(chartText(page)).toContainText('strum: eighths DU DU DU DU');
});

test('a sheet file and a MIDI file come through the door of the Charts room', async ({
  trainer: page,
}) => {
  const chooser = page.locator('input[type=file]').first();
  await chooser.setInputFiles({
    name: 'Low Water.txt',
    mimeType: 'text/plain',
    buffer: Buffer.from(SHEET, 'utf16le'),
  });
  await expect(page.getByRole('heading', { level: 1, name: 'Low Water' })).toBeVisible();
  await expect(page.getByText(/Bar lines are guessed/)).toBeVisible();

  await page.getByRole('button', { name: 'All charts' }).click();
  // Format 0, 480 ticks: 120 bpm, 4/4, a marker and four quarters of rest (SMF 1.0).
  const track = '00ff510307a120 00ff580404021808 00ff060556657273 65 8f00ff2f00'.replaceAll(
    ' ',
    '',
  );
  const length = (track.length / 2).toString(16).padStart(8, '0');
  const midi = Buffer.from(`4d546864000000060000000101e04d54726b${length}${track}`, 'hex');
  await chooser.setInputFiles({ name: 'Kiln.mid', mimeType: 'audio/midi', buffer: midi });
  const asked = page.getByRole('dialog', { name: /Bring in/ });
  await expect(asked).toContainText('Its notes are left out.');
  await asked.getByRole('button', { name: 'Bring it in' }).click();
  await expect(page.getByText('‘MIDI file’ was brought in.')).toBeVisible();
});

test('names of sections, chords and the form are completed; a line that is typed in full is left alone', async ({
  trainer: page,
}) => {
  await startWith(page, 'title: Harbour\nkey: G\ntempo: 96\n\n[Verse]\n| G | C |\n');
  await chartText(page).focus();
  await page.keyboard.press('Control+End');
  await page.keyboard.type('\n[Br');
  const list = page.getByRole('listbox');
  await expect(list.getByRole('option').first()).toHaveText(/^Bridge/);
  await page.waitForTimeout(150);
  await page.keyboard.press('Enter');
  await expect(chartText(page)).toContainText('[Bridge]');
  await page.keyboard.type('\n| Em');
  await expect(list).toHaveCount(0);
  await page.keyboard.type(' |\nform: Br');
  await expect(list.getByRole('option').first()).toHaveText(/^Bridge/);
  await page.waitForTimeout(150);
  await page.keyboard.press('Enter');
  await page.keyboard.press('Escape');
  await expect(bars(page, 'Bridge')).toHaveCount(1);
  await expect(chartText(page)).toContainText('form: Bridge');
});
