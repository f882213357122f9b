// The Charts room: typing a chart, its mistakes, unsaved text, and moving charts in and out.
import fs from 'node:fs';
import path from 'node:path';
import { expect, test } from './host.ts';
import { chartText } from './view/chart-text.ts';

const TYPED = `title: Harbour Bells
tempo: q = 96
meter: 4/4

[Verse]
| G | C / / D | Em | % |

form:
Verse x2
`;

test('a chart is typed, its mistakes named by section and bar, then saved and kept', async ({
  trainer: page,
}) => {
  await page.getByRole('button', { name: 'New chart' }).click();
  await page.getByRole('button', { name: 'Type it all myself' }).click();
  await chartText(page).fill(TYPED.replace('| C / / D |', '| C / / / D |'));
  const mistake = page.getByRole('listitem').filter({ hasText: /Bar 2 of ‘Verse’/ });
  await expect(mistake).toBeVisible();
  await mistake.getByRole('button').first().click();
  await expect(chartText(page)).toBeFocused();
  await expect(page.locator('.cm-activeLine')).toHaveText('| G | C / / / D | Em | % |');

  await chartText(page).fill(TYPED);
  await expect(page.getByText('No mistakes.', { exact: true })).toBeVisible();
  const bars = page.getByRole('list', { name: 'Bars of Verse' });
  await expect(bars.getByRole('listitem')).toHaveText([
    /Bar 1, G/,
    /Bar 2, C, D on beat 4/,
    /Em/,
    /as the bar before/,
  ]);
  await page.keyboard.press('Control+s');
  await expect(page.getByText('‘Harbour Bells’ is saved.')).toBeVisible();
  await page.getByRole('button', { name: 'All charts' }).click();
  await expect(page.getByRole('link', { name: 'Harbour Bells' })).toBeVisible();
  await expect(page.getByRole('heading', { level: 1, name: 'Charts' })).toBeFocused();
});

test('text that was not saved is there after a reload, and can be put aside', async ({
  trainer: page,
}) => {
  await page.getByRole('link', { name: 'Copper Staircase' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Copper Staircase' })).toBeFocused();
  await chartText(page).fill(TYPED.replace('Harbour Bells', 'Copper Stairs'));
  await page.reload();
  await expect(chartText(page)).toContainText('Copper Stairs');
  await expect(page.getByText('This text was not saved yet.')).toBeVisible();
  await page.getByRole('button', { name: 'Go back to the saved chart' }).click();
  await expect(chartText(page)).toContainText('Copper Staircase');
});

test('a chart file with a mistake is mended, saved, and then a chart as any other', async ({
  page,
  host,
}) => {
  const file = path.join(host.directory, 'charts', 'From outside.chart.txt');
  fs.writeFileSync(file, TYPED.replace('[Verse]', '[Verse]\nstrum: D DU UDU'));
  await page.goto(`${host.address}#/charts`);
  await page.getByRole('link', { name: 'Harbour Bells' }).click();
  await page.getByRole('button', { name: 'Write “eighths D- DU -U DU”' }).click();
  await expect(page.getByText('No mistakes.', { exact: true })).toBeVisible();
  await page.getByRole('button', { name: 'Save', exact: true }).click();

  await expect(page.getByText('‘Harbour Bells’ is saved.')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Climb' })).toBeEnabled();
  await expect(page.getByText('This text was not saved yet.')).toHaveCount(0);
  await expect(page.getByRole('heading', { level: 1, name: 'Harbour Bells' })).toBeFocused();
});

test('what is pressed before the editor’s own code has come is done when it has', async ({
  page,
  host,
}) => {
  const file = path.join(host.directory, 'charts', 'From outside.chart.txt');
  fs.writeFileSync(file, TYPED.replace('[Verse]', '[Verse]\nstrum: D DU UDU'));
  const pressed = Promise.withResolvers<void>();
  await page.route('**/assets/code-*.js', async (route) => {
    await pressed.promise;
    await route.continue();
  });
  await page.goto(`${host.address}#/charts`);
  await page.getByRole('link', { name: 'Harbour Bells' }).click();
  await page.getByRole('button', { name: 'Write “eighths D- DU -U DU”' }).click();
  await expect(chartText(page)).toHaveCount(0);
  pressed.resolve();
  await expect(page.getByText('No mistakes.', { exact: true })).toBeVisible();
  await expect(chartText(page)).toContainText('strum: eighths D- DU -U DU');
});

test('charts are duplicated, renamed, deleted and brought back', async ({ trainer: page }) => {
  const rows = page.getByRole('link', { name: /Paper Streetcar/ });
  const actions = page.getByRole('group', { name: 'Actions for Paper Streetcar', exact: true });
  await actions.getByRole('button', { name: 'Duplicate' }).click();
  await expect(rows).toHaveCount(2);
  await page
    .getByRole('group', { name: 'Actions for Paper Streetcar (copy)' })
    .getByRole('button', { name: 'Rename' })
    .click();
  // The old title is there to be typed over; then the keyboard is where it was, though the chart moved in the list.
  const title = page.getByRole('textbox', { name: 'Title' });
  await expect(title).toBeFocused();
  await page.keyboard.type('A Paper Tram');
  await expect(title).toHaveValue('A Paper Tram');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('link', { name: 'A Paper Tram' })).toBeVisible();
  await expect(
    page
      .getByRole('group', { name: 'Actions for A Paper Tram' })
      .getByRole('button', { name: 'Rename' }),
  ).toBeFocused();

  await actions.getByRole('button', { name: 'Delete' }).click();
  await expect(rows).toHaveCount(0);
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(rows).toHaveCount(1);
  await page.getByRole('searchbox', { name: 'Search' }).fill('tram');
  await expect(page.getByText('1 chart', { exact: true })).toBeVisible();
});

test('an exported chart comes back as it was; a broken file changes nothing', async ({
  trainer: page,
}, info) => {
  const download = page.waitForEvent('download');
  await page
    .getByRole('group', { name: 'Actions for Low Tide Lanterns' })
    .getByRole('button', { name: 'Export' })
    .click();
  await page.getByRole('button', { name: 'Write the file' }).click();
  const file = await download;
  expect(file.suggestedFilename()).toBe('Low Tide Lanterns.rungchart');
  const saved = info.outputPath('chart.json');
  await file.saveAs(saved);

  const chooser = page.locator('input[type=file]').first();
  await chooser.setInputFiles(saved);
  await expect(page.getByText('‘Low Tide Lanterns’ was brought in.')).toBeVisible();
  await expect(page.getByRole('link', { name: /Low Tide Lanterns/ })).toHaveCount(1);

  const broken = info.outputPath('broken.json');
  fs.writeFileSync(broken, fs.readFileSync(saved, 'utf8').replace('meter: 12/8', 'meter: 12/'));
  await chooser.setInputFiles(broken);
  await expect(page.locator('.remark.problem').first()).toBeVisible();
  await expect(page.getByRole('link', { name: /Low Tide Lanterns/ })).toHaveCount(1);

  const huge = info.outputPath('huge.json');
  fs.writeFileSync(huge, '['.repeat(5_000_000));
  await chooser.setInputFiles(huge);
  await expect(page.getByText(/‘huge.json’ is larger than 4 MB/)).toBeVisible();
});

test('a file dropped on the room is brought in', async ({ trainer: page }) => {
  const chart = { title: 'Dropped', sections: [] };
  const data = await page.evaluateHandle(
    (content) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([content], 'dropped.json', { type: 'application/json' }));
      return transfer;
    },
    JSON.stringify({ format: 'rungwise-chart', schemaVersion: 1, chart }),
  );
  const room = page.getByRole('heading', { name: 'Charts' });
  await room.dispatchEvent('dragenter', { dataTransfer: data });
  await expect(page.getByText('Drop chart files to bring them in')).toBeVisible();
  await room.dispatchEvent('drop', { dataTransfer: data });
  // The chart lacks most of what a chart needs, so it is refused in words.
  await expect(page.locator('.remark.problem').first()).toBeVisible();
  await expect(page.getByText('Drop chart files to bring them in')).toBeHidden();
});

test('the help sheet shows how a chart is typed', async ({ trainer: page }) => {
  await page.getByRole('button', { name: 'New chart' }).click();
  await page.getByRole('button', { name: 'Type it all myself' }).click();
  await page.getByRole('button', { name: 'How to type' }).click();
  const sheet = page.getByRole('dialog', { name: 'How a chart is typed' });
  await expect(sheet).toContainText('|: G | D :| C | D :| x3');
  await page.keyboard.press('Escape');
  await expect(sheet).toBeHidden();
});
