// The program is killed in mid-climb: what was judged is in the log when it is started again.
import type { ChildProcess } from 'node:child_process';
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, startHost, test } from './host.ts';
import { CHART, SHORT_LADDER, UNIT } from '../support/short-ladder.ts';
import { handle, judgeNext, logged, SHORT_REST } from './view/short-climb.ts';

const script = fileURLToPath(new URL('../../app/launch.mjs', import.meta.url));

/** `npm start` on a directory; resolves with the printed address. */
async function startProgram(directory: string): Promise<readonly [ChildProcess, string]> {
  const child = spawn(process.execPath, [script, '--data', directory, '--no-open']);
  const address = await new Promise<string>((resolve, reject) => {
    let said = '';
    child.stdout.on('data', (chunk: Buffer) => {
      said += chunk.toString();
      const found = /^http:\S+$/m.exec(said);
      if (found) resolve(found[0]);
    });
    child.on('close', () => reject(new Error(`it ended and had said: ${said}`)));
  });
  return [child, address];
}

test('a killed program has lost nothing that was judged', async ({ page }) => {
  test.slow();
  const directory = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-killed-'));
  const before = await startHost({ directory });
  const rules = { ...SHORT_LADDER.rules, ...SHORT_REST };
  await handle(before, 'ladders.save', { ...SHORT_LADDER, rules });
  await handle(before, 'settings.write', { patch: { shown: ['care-before-first-sound'] } });
  await before.close();

  const [child, address] = await startProgram(directory);
  await page.goto(`${address}#/climb/${CHART}/${encodeURIComponent(UNIT)}`);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  for (const pass of [1, 2]) {
    const stored = page.waitForResponse(/\/call\/log\.append$/);
    await judgeNext(page, pass, 'ArrowUp');
    expect(await (await stored).json()).toMatchObject({ ok: true, value: { stored: 1 } });
  }
  child.kill('SIGKILL');
  await new Promise((resolve) => child.on('close', resolve));

  const after = await startHost({ directory });
  const passes = await logged(after);
  expect(passes.map(({ verdict, rung }) => [verdict, rung.bpm])).toEqual([
    ['clean', 360],
    ['clean', 380],
  ]);
  await after.close();
  fs.rmSync(directory, { recursive: true, force: true });
});
