// How closed files go between the machines of an interleaving: by a hub, late, torn, twice, and lost; what their writer
// made of them, or took away, goes round as well.
import path from 'node:path';
import { readSegment, type SegmentReading } from '../../../app/core/exchange/shared/segment.ts';
import type { EngineMachine } from './engine.ts';
import type { MemoryDisk } from './memory-files.ts';

/** What happens to a single file. */
export const BY_FILE = [
  'send',
  'send torn',
  'fetch',
  'fetch torn',
  'copy',
  'bring back',
  'lose',
] as const;

/** What stands in a file; files go round often, and are read here once. */
const filesRead = new Map<string, SegmentReading>();

export function readOnce(text: string): SegmentReading {
  const read = filesRead.get(text) ?? readSegment(text);
  if (filesRead.size > 2_000) filesRead.clear();
  filesRead.set(text, read);
  return read;
}

export const HUB = '/hub';

export class Hub {
  readonly #disk: MemoryDisk;
  readonly #all: readonly EngineMachine[];
  #before: ReadonlyMap<string, string> = new Map();
  /** Some of them have names of each other: one goes on with a copy of the data of another. */
  sharesNames = false;

  constructor(disk: MemoryDisk, all: readonly EngineMachine[]) {
    this.#disk = disk;
    this.#all = all;
  }

  backUp(): void {
    this.#before = this.#disk.copyOf(HUB);
  }
  restore(): void {
    this.#disk.exchange(HUB, this.#before);
  }

  /** One file at a time, any of those that are there. */
  carry(does: (typeof BY_FILE)[number], { folder }: EngineMachine, n: number): void {
    const from = does.startsWith('send') ? folder : HUB;
    const files = this.filesIn(from);
    const file = files[n % files.length];
    if (file === undefined) return;
    const text = this.#disk.text(file)!;
    if (does === 'lose') return this.#disk.remove(file);
    const to = path.join(from === HUB ? folder : HUB, path.relative(from, file));
    const beside = to.replace('.rungshare', ` (conflict ${n % 3}).rungshare`);
    if (does === 'copy') return this.#disk.put(beside, text);
    const part = does.endsWith('torn') ? text.slice(0, (n * 37) % text.length) : text;
    // What is whole there stays whole: a carrier that spoils the only copy spoils what nobody can bring back.
    const there = this.#disk.text(to);
    const isNewer = there !== undefined && part === text && this.#isNewer(from, to, text);
    const putsBack = does === 'bring back' && readOnce(text).kind === 'whole';
    if (there === undefined || (there !== text && text.startsWith(there))) this.#disk.put(to, part);
    else if (isNewer || putsBack) this.#disk.put(to, text);
  }

  /** Only its writer changes a file: it empties it. That goes from its own folder to the hub, and from there to the others. */
  #isNewer(from: string, to: string, text: string): boolean {
    const { segment } = { segment: undefined, ...readOnce(text) };
    if (!segment) return false;
    const own = this.#all.find(({ name }) => segment.writer.startsWith(`${name}-`))!;
    return from === own.folder || (from === HUB && !to.startsWith(`${own.folder}/`));
  }

  /** A file goes from every folder, with its copies, though nobody took it away. */
  destroy(n: number): void {
    const places = [HUB, ...this.#all.map(({ folder }) => folder)];
    const named = (file: string): string =>
      file.slice(file.lastIndexOf('rungwise-shared')).replace(/ \(conflict \d\)/, '');
    const names = [...new Set(places.flatMap((at) => this.filesIn(at)).map(named))].sort();
    const name = names[n % names.length];
    for (const place of places)
      for (const file of this.filesIn(place)) if (named(file) === name) this.#disk.remove(file);
  }

  /** Closed files, and parts of such that came so: what is still being written is not carried. */
  filesIn(folder: string): readonly string[] {
    return this.#disk.filesBelow(folder).filter((file) => file.endsWith('.rungshare'));
  }

  namesBelow(folder: string): readonly string[] {
    return this.filesIn(folder).map((file) => path.relative(folder, file));
  }

  /** What a machine took away is taken away everywhere; a copy of it where it had come to the machine. */
  clear({ name, folder }: EngineMachine, came: ReadonlySet<string> = new Set()): void {
    for (const other of [HUB, ...this.#all.map((one) => one.folder)])
      for (const file of this.filesIn(other)) {
        const writer = path.basename(path.dirname(file));
        const own = path.join(folder, path.relative(other, file));
        // What another wrote under its name never came to it, either.
        const mayBeOthers = this.sharesNames || file.includes('(conflict');
        const copy = mayBeOthers && !came.has(path.relative(other, file));
        if (writer.startsWith(`${name}-`) && !copy && this.#disk.text(own) === undefined)
          this.#disk.remove(file);
      }
  }

  carryAll(from: string, to: string): void {
    for (const file of this.filesIn(from)) {
      const text = this.#disk.text(file)!;
      const target = path.join(to, path.relative(from, file));
      const there = this.#disk.text(target);
      // What is whole stays, but for what its writer made of it; what is torn is written over by what is whole.
      const isWhole = there !== undefined && readOnce(there).kind === 'whole';
      if (isWhole && (there === text || !this.#isNewer(from, target, text))) continue;
      if (readOnce(text).kind === 'whole' || there === undefined) this.#disk.put(target, text);
    }
  }
}
