// Killed while writing and at the start, and put to sleep: what was acknowledged is there, whatever the moment.
import { type ChildProcess, spawn } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { fullFlaw } from '../../../app/services/machine/log/check-log.ts';
import { FolderInUse, takeFolder } from '../../../app/services/machine/store/data-folder.ts';
import { viewOf, openTestServices, temporaryDirectory } from '../../unit/services/samples.ts';
import { SCALE, told } from './scale.ts';

let root: string;
beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => fs.rmSync(root, { recursive: true, force: true }));

class Appender {
  readonly child: ChildProcess;
  readonly ended: Promise<unknown>;
  #over = false;
  #text = '';
  #heard: () => void = () => undefined;

  constructor(run: number) {
    const script = fileURLToPath(new URL('appender.ts', import.meta.url));
    this.child = spawn(process.execPath, [script, root, String(run)], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    this.child.stdout!.on('data', (chunk: Buffer) => {
      this.#text += chunk.toString();
      this.#heard();
    });
    this.ended = new Promise((resolve) => this.child.on('close', resolve));
    void this.ended.then(() => {
      this.#over = true;
      this.#heard();
    });
  }

  /** A line that was cut off by a kill was not wholly said. */
  get said(): readonly string[] {
    return this.#text.split('\n').slice(0, -1);
  }

  /** Resolves when so many lines were said. */
  async saying(lines: number): Promise<void> {
    while (this.said.length < lines) {
      if (this.#over) throw new Error('it ended by itself');
      await new Promise<void>((heard) => (this.#heard = heard));
    }
  }

  async kill(): Promise<readonly string[]> {
    this.child.kill('SIGKILL');
    await this.ended;
    return this.said;
  }
}

/** Nothing that was said is lost, and the last of what is written over is what was said last, or what came after. */
async function holds(said: readonly string[]): Promise<void> {
  const host = openTestServices(root);
  const view = viewOf(host);
  try {
    const there = new Set((await view.call('log.passes', {})).passes.map(({ id }) => id));
    const passes = said.filter((word) => word.startsWith('pass-'));
    expect(passes.filter((id) => !there.has(id))).toEqual([]);
    expect((await view.call('host.info', {})).problems).toEqual([]);
    expect((await view.call('charts.list', {})).problems).toEqual([]);
    expect(fullFlaw(host.log()!.database)).toBeUndefined();
    const last = (what: string): number =>
      Number(said.findLast((word) => word.startsWith(what))?.split(' ')[1] ?? 0);
    if (last('chart') > 0) {
      const { tempo } = unwrap(await view.call('charts.open', { id: 'k-1' }));
      expect([last('chart'), after(last('chart'))]).toContain(tempo.bpm);
    }
    if (last('ladder') > 0) {
      const [ladder] = await view.call('ladders.list', {});
      expect([last('ladder'), after(last('ladder'))]).toContain(ladder!.rules.target);
    }
    expect(fs.existsSync(path.join(root, 'set-aside'))).toBe(false);
  } finally {
    host.close();
  }
}
const after = (step: number): number => 30 + ((step - 30 + 1) % 300);

it(
  `killed ${SCALE.kills} times while writing and ${SCALE.killsAtStart} times at the start: nothing acknowledged is lost`,
  async () => {
    const said: string[] = [];
    for (let run = 0; run < SCALE.kills; run++) {
      const appender = new Appender(run);
      await appender.saying(1 + ((run * 7) % 23));
      const words = await appender.kill();
      said.push(...words);
      if (run % 10 === 9 || run === SCALE.kills - 1) await holds(said);
    }
    const whileWriting = said.length;
    for (let run = 0; run < SCALE.killsAtStart; run++) {
      const appender = new Appender(SCALE.kills + run);
      await new Promise((resolve) => setTimeout(resolve, 20 + ((run * 37) % 900)));
      said.push(...(await appender.kill()));
    }
    expect(whileWriting).toBeGreaterThanOrEqual(SCALE.kills);
    // What was written over last may have been said by a run that was killed before it said so.
    await holds(said.filter((word) => word.startsWith('pass-')));
    told(
      `killed ${SCALE.kills} times while writing, ${SCALE.killsAtStart} at the start: ${said.length} things acknowledged, 0 lost`,
    );
  },
  SCALE.milliseconds,
);

it(
  `put to sleep ${SCALE.suspends} times: it keeps its folder, wakes, goes on and loses nothing`,
  async () => {
    const appender = new Appender(0);
    for (let sleep = 0; sleep < SCALE.suspends; sleep++) {
      await appender.saying(appender.said.length + 5);
      appender.child.kill('SIGSTOP');
      expect(() => takeFolder(root)).toThrow(FolderInUse);
      const before = appender.said.length;
      appender.child.kill('SIGCONT');
      await appender.saying(before + 5);
    }
    await holds(await appender.kill());
    told(`put to sleep ${SCALE.suspends} times: 0 lost`);
  },
  SCALE.milliseconds,
);
