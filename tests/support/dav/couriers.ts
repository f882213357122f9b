// One run of the courier: a few computers write, take out, meet a place outside over a bad line, and start anew; then the
// line is good, and all is looked at.
import fs from 'node:fs';
import path from 'node:path';
import { readSegment } from '../../../app/core/exchange/shared/segment.ts';
import { Mirror } from '../../../app/services/machine/courier/mirror.ts';
import type { Seal } from '../../../app/services/machine/courier/seal.ts';
import { meet } from '../../../app/services/machine/courier/sync.ts';
import { SharedFolder } from '../../../app/services/machine/shared/shared-folder.ts';
import { standingClock, temporaryDirectory } from '../../unit/services/samples.ts';
import { parcel } from '../machines/places.ts';
import { type LineFault, MemoryOutside } from './memory-outside.ts';

export const COURIER_STEPS = [
  'write',
  'take out',
  'meet',
  'start anew',
  'forget what was agreed',
  'somebody deletes on the server',
  'lock',
] as const;

export interface CourierStep {
  readonly does: (typeof COURIER_STEPS)[number];
  readonly m: number;
  readonly n: number;
  readonly faults: readonly (LineFault | undefined)[];
}

const STUDENTS = ['ada', 'ben', 'cleo'] as const;
const ROUNDS = 6;

class Computer {
  readonly name: string;
  readonly directory: string;
  shared!: SharedFolder;
  mirror!: Mirror;
  #ids = 0;

  constructor(root: string, name: string) {
    this.name = name;
    this.directory = path.join(root, name);
    fs.mkdirSync(this.directory);
    this.start();
  }

  start(): void {
    const { directory, name } = this;
    this.mirror = new Mirror(path.join(directory, 'mirror'));
    const newId = () => `${name}-${++this.#ids}`;
    this.shared = new SharedFolder({ directory, now: standingClock(), newId });
    this.shared.choose(this.mirror.folder);
  }

  /** What it has of anybody, by its text. */
  texts(): readonly string[] {
    return [...this.shared.look().shelf.values()]
      .map((one) => one.parcel?.text ?? `${one.writer} ${one.number} was taken out`)
      .toSorted();
  }
}

export async function courierFaults(
  steps: readonly CourierStep[],
  computers: number,
): Promise<readonly string[]> {
  const root = temporaryDirectory();
  const outside = new MemoryOutside();
  const all = Array.from({ length: computers }, (_, i) => new Computer(root, `c${i}`));
  /** Texts by who wrote them and of whom, that were not taken out. */
  const written = new Map<string, string>();
  let locked = false;
  let made = 0;
  const meetNow = async (one: Computer, faults: readonly (LineFault | undefined)[]) => {
    const waiting = [...faults];
    one.mirror.addOwn([...one.shared.writers]);
    return meet({
      ...{ mirror: one.mirror, outside: outside.over(() => waiting.shift()), pauses: [0] },
      keyring: { locksOf: () => Promise.resolve({ of: () => (locked ? SEAL : undefined) }) },
      signal: new AbortController().signal,
    });
  };
  try {
    for (const { does, m, n, faults } of steps) {
      const one = all[m % computers]!;
      const student = STUDENTS[n % STUDENTS.length]!;
      if (does === 'write') {
        const text = `${one.name} ${student} ${++made} `.padEnd(200, '.');
        if (one.shared.post(parcel(text, student)).ok) written.set(text, `${one.name} ${student}`);
      } else if (does === 'take out') {
        one.shared.forget(student);
        for (const [text, of] of written) if (of === `${one.name} ${student}`) written.delete(text);
      } else if (does === 'meet') await meetNow(one, faults);
      else if (does === 'start anew') one.start();
      else if (does === 'forget what was agreed') {
        fs.rmSync(path.join(one.mirror.folder, 'agreed.json'), { force: true });
        one.start();
      } else if (does === 'lock') locked = true;
      else {
        const paths = [...outside.files.keys()];
        if (paths.length > 0) outside.files.delete(paths[n % paths.length]!);
      }
    }
    return [
      ...(await agree(all, outside, (one) => meetNow(one, []))),
      ...wrongAfter(all, outside, [...written.keys()], locked),
    ];
  } finally {
    fs.rmSync(root, { recursive: true, force: true });
  }
}

async function agree(
  all: readonly Computer[],
  outside: MemoryOutside,
  meetNow: (one: Computer) => ReturnType<typeof meet>,
): Promise<readonly string[]> {
  let before = '';
  for (let round = 0; round < ROUNDS; round++) {
    for (const one of all) {
      const { trouble } = await meetNow(one);
      if (trouble) return [`${one.name}: ${trouble.problem.message}`];
    }
    const now = JSON.stringify([...outside.files].map(([file, { stamp }]) => [file, stamp]));
    if (now === before) return [];
    before = now;
  }
  return ['they still carry'];
}

function wrongAfter(
  all: readonly Computer[],
  outside: MemoryOutside,
  written: readonly string[],
  locked: boolean,
): readonly string[] {
  const wrong: string[] = [];
  for (const one of all) {
    const texts = one.texts();
    for (const text of written)
      if (!texts.includes(text)) wrong.push(`${one.name} lacks ${text.slice(0, 12)}`);
    if (texts.length !== new Set(texts).size) wrong.push(`${one.name} has something twice`);
    const kept = texts.filter((text) => !text.endsWith('was taken out'));
    if (kept.length > written.length) wrong.push(`${one.name} has what was taken out`);
    if (texts.join() !== all[0]!.texts().join()) wrong.push(`${one.name} differs from c0`);
    if (one.shared.look().flawed.length > 0) wrong.push(`${one.name} has a file that is not whole`);
  }
  for (const [file, { content }] of outside.files) {
    if (locked !== file.endsWith('.age')) wrong.push(`${file} is ${locked ? 'open' : 'locked'}`);
    const text = new TextDecoder().decode(locked ? turned(content) : content);
    if (readSegment(text).kind !== 'whole') wrong.push(`${file} is not whole outside`);
  }
  return wrong;
}

const turned = (content: Uint8Array): Uint8Array => content.map((byte) => byte ^ 0x55);

/** Stands in for the real one, which is slow on purpose; it knows half of a file for what it is, as that one does. */
const SEAL: Seal = {
  lock: (content) => Promise.resolve(turned(content)),
  open: (content) => {
    const text = turned(content);
    const whole = text.at(-1) === 10;
    return whole ? Promise.resolve(text) : Promise.reject(new Error('not whole'));
  },
};
