// axe-core on the stage in every state of a climb, in light and dark, left-handed, with words and a lead line.
import { unwrap } from '../../app/core/base/result.ts';
import { readChartText } from '../../app/core/chart/notation/chart-text.ts';
import { GATE_MS } from '../../renderer/input/controls.ts';
import { SHORT_LADDER as SHORT } from '../support/short-ladder.ts';
import { violationsInBoth } from './accessible.ts';
import { expect, test } from './host.ts';
import { noteSound, whileHeld } from './view/held.ts';
import { handle, verdicts } from './view/short-climb.ts';

const CHART = unwrap(
  readChartText(
    `title: Small Kettle
tempo: 60
meter: 4/4

[Verse]
strum: eighths D- DU -U DU
| G | D |
words: | slow-ly | on
line: Answer, bar 1
part Guitar 1: | 4 3/0 3/2 2/0 2/1 |

form:
Verse
`,
    'small',
  ),
);
/** Slow enough that a look begins before a state ends: two bars of 2 s, then 8 s of rest; it is held while it is looked at. */
const LADDER = {
  ...SHORT,
  ...{ chart: 'small', unit: 'section:Verse' },
  rules: { ...SHORT.rules, start: 120, target: 121, step: { kind: 'bpm' as const, by: 1 } },
  options: { ...SHORT.options, countIn: 'two' as const },
};

test('no state of the stage has a violation, left-handed, in light and in dark', async ({
  page,
  host,
}) => {
  await noteSound(page);
  await handle(host, 'charts.save', { chart: CHART });
  await handle(host, 'ladders.save', LADDER);
  const patch = { shown: ['care-before-first-sound', 'tour'], leftHanded: true };
  await handle(host, 'settings.write', { patch });
  await page.goto(`${host.address}#/climb/small/section:Verse`);
  const expectNone = async (state: string) =>
    expect.soft(await whileHeld(page, () => violationsInBoth(page)), state).toEqual([]);
  const press = async (key: string) => {
    await page.waitForTimeout(2 * GATE_MS);
    await page.keyboard.press(key);
  };
  const stage = page.getByRole('region', { name: 'Stage' });

  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await expect(stage.getByText(/count-in at/)).toBeVisible();
  await expectNone('count-in');
  await expect(stage.getByText('now', { exact: true })).toBeVisible();
  await expectNone('a pass');
  await expect(verdicts(page, 1)).toBeVisible();
  await expectNone('rest');
  await press('Space');
  await expect(stage.locator('.standing')).toHaveText('Paused.');
  // A pass that is over may still be judged.
  await expect(verdicts(page, 1)).toBeVisible();
  await expectNone('paused');
  await press('ArrowDown');
  await press('Space');
  await expect(stage.getByRole('heading', { name: /^Missed/ })).toBeVisible();
  await expectNone('asking');
  await press('Backspace');
  await expect(stage.getByRole('heading', { name: 'Taken back. Clean or missed?' })).toBeVisible();
  await expectNone('taken back');
  await press('ArrowDown');
  await press('KeyB');
  await expect(stage.locator('.standing')).toContainText('Five minutes’ break');
  await expectNone('break');
  await press('Escape');
  await expect(stage.getByRole('heading', { name: 'Stopped.' })).toBeVisible();
  await expectNone('stopped');
});
