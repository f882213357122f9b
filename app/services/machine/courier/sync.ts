// One meeting of both sides: what others wrote comes here, what this computer wrote goes there.
import type { Problem } from '../../../core/base/result.ts';
import { readSegment } from '../../../core/exchange/shared/segment.ts';
import { hashOf, type Mirror } from './mirror.ts';
import { isSeal, type Keyring, type Locks } from './keyring.ts';
import { type Listing, type Outside, partsOf } from './outside.ts';
import { type FoundOutside, foundIn, openTwins, planSteps, type Step } from './plan.ts';
import { LOCKED_ENDING, type Seal } from './seal.ts';
import { type Trouble, troubleOf } from './troubles.ts';

export interface Meeting {
  readonly mirror: Mirror;
  readonly outside: Outside;
  readonly keyring: Pick<Keyring, 'locksOf'>;
  readonly signal: AbortSignal;
  /** Between two tries of one request, milliseconds. */
  readonly pauses?: readonly number[];
}

export interface Outcome {
  /** Files that came, changed or went here. */
  readonly changed: number;
  readonly sent: number;
  /** Files of others that everybody can read though the folder is locked. */
  readonly open: number;
  /** Files that could not be used, each with why. */
  readonly flawed: readonly string[];
  /** Why part of it is left alone; the rest travels. */
  readonly closed?: Problem;
  readonly trouble?: Trouble;
}

const PAUSES_MS = [300, 1_500];

/** Never throws. Nothing is lost by whatever goes wrong: the next meeting goes on where this one ended. */
export async function meet(meeting: Meeting): Promise<Outcome> {
  const work = new Work(meeting);
  try {
    await work.run();
  } catch (error) {
    work.stoppedBy(error);
  }
  try {
    meeting.mirror.keep();
  } catch (error) {
    work.stoppedBy(error);
  }
  return work.outcome();
}

class Work {
  readonly #meeting: Meeting;
  readonly #flawed: string[] = [];
  #locks: Locks = { of: () => undefined };
  #closed: Problem | undefined;
  #changed = 0;
  #sent = 0;
  #open = 0;
  #trouble: Trouble | undefined;

  constructor(meeting: Meeting) {
    this.#meeting = meeting;
  }

  async run(): Promise<void> {
    const { keyring, mirror, outside, signal } = this.#meeting;
    const listing = await this.#patiently(() => outside.list(signal));
    if (!listing) return this.#stop({ remedy: 'told', problem: homeGone(outside.name) });
    const [here, found] = [mirror.files(), foundIn(listing)];
    const places = new Set([...here.keys(), ...found.keys()].map(placeOf).concat(''));
    this.#locks = await this.#patiently(() =>
      keyring.locksOf(listing, [...places], { outside, signal }),
    );
    const steps = planSteps({
      ...{ here, outside: found, agreed: mirror.agreed },
      ...{ isOwn: mirror.isOwn, isTakenAway: mirror.isTakenAway },
      locks: (path) => this.#sealFor(path) !== undefined,
    }).filter(({ path }) => this.#isOpen(path));
    this.#open = this.#openOfOthers(found);
    // What comes is first, so that this computer knows the numbers it has used.
    for (const kind of ['fetch', 'compare', 'drop', 'send', 'withdraw'] as const) {
      for (const step of steps.filter((one) => one.do === kind)) await this.#take(step);
    }
    await this.#takeOpenTwins(listing);
  }

  #sealFor(path: string): Seal | undefined {
    const lock = this.#locks.of(placeOf(path));
    return isSeal(lock) ? lock : undefined;
  }

  /** What cannot be opened is left as it is, on both sides. */
  #isOpen(path: string): boolean {
    const lock = this.#locks.of(placeOf(path));
    if (lock === undefined || isSeal(lock)) return true;
    this.#closed = lock;
    return false;
  }

  stoppedBy(error: unknown): void {
    this.#stop(troubleOf(error, this.#meeting.outside.name));
  }

  outcome(): Outcome {
    return {
      ...{ changed: this.#changed, sent: this.#sent, open: this.#open },
      flawed: this.#flawed,
      ...(this.#closed ? { closed: this.#closed } : {}),
      ...(this.#trouble ? { trouble: this.#trouble } : {}),
    };
  }

  /** The first trouble is told, unless a graver one follows. */
  #stop(trouble: Trouble): void {
    if (!this.#trouble || trouble.remedy === 'told') this.#trouble = trouble;
  }

  #openOfOthers(found: ReadonlyMap<string, FoundOutside>): number {
    const { isOwn } = this.#meeting.mirror;
    return [...found].filter(
      ([path, { locked }]) => !locked && !isOwn(path) && this.#sealFor(path) !== undefined,
    ).length;
  }

  /** A file that fails leaves the others alone; a server that fails ends the meeting. */
  async #take(step: Step): Promise<void> {
    if (this.#trouble?.remedy === 'full' && step.do === 'send') return;
    try {
      await this.#patiently(() => this.#carryOut(step));
    } catch (error) {
      const trouble = troubleOf(error, this.#meeting.outside.name);
      this.#stop(trouble);
      if (trouble.remedy === 'later' || trouble.remedy === 'told') throw error;
    }
  }

  async #carryOut(step: Step): Promise<void> {
    const { mirror, outside, signal } = this.#meeting;
    switch (step.do) {
      case 'send':
        return this.#send(step.path);
      case 'fetch':
        return this.#fetch(step.path, step.from);
      case 'compare':
        return this.#compare(step.path, step.from);
      case 'drop':
        mirror.drop(step.path);
        this.#changed++;
        return;
      case 'withdraw':
        // What stands in another file goes when that one has gone out.
        if (mirror.isReplaced(step.path) && mirror.unsent() > 0) return;
        await outside.remove(step.from.path, signal);
        return mirror.forget(step.path);
      case 'clear':
        return outside.remove(step.open, signal);
    }
  }

  async #send(path: string): Promise<void> {
    const { mirror, outside, signal } = this.#meeting;
    const content = mirror.read(path);
    const seal = this.#sealFor(path);
    const going = seal ? await seal.lock(content) : content;
    const { stamp } = await outside.write(seal ? `${path}${LOCKED_ENDING}` : path, going, signal);
    mirror.agree(path, { hash: hashOf(content), stamp });
    this.#sent++;
  }

  async #fetch(path: string, from: FoundOutside): Promise<void> {
    const { mirror } = this.#meeting;
    const content = await this.#contentOf(from);
    const own = mirror.isOwn(path) && mirror.files().has(path);
    // Emptied is for good: what stands there is an earlier self of it, left over when the folder was locked.
    if (own && typeof content !== 'string' && isEmptied(mirror.read(path))) return this.#send(path);
    if (typeof content === 'string') {
      // What this computer sent half, as when it locked what lay open, is sent whole.
      if (own) return this.#send(path);
      this.#flawed.push(`${from.path}: ${content}`);
      return;
    }
    mirror.write(path, content);
    mirror.agree(path, { hash: hashOf(content), stamp: from.stamp });
    this.#changed++;
  }

  async #compare(path: string, from: FoundOutside): Promise<void> {
    const { mirror } = this.#meeting;
    const [content, here] = [await this.#contentOf(from), mirror.read(path)];
    // What this computer once sent half is sent whole.
    if (typeof content === 'string') return this.#send(path);
    if (hashOf(content) !== hashOf(here)) {
      // Emptied is for good, on whichever side.
      if (isEmptied(here)) return this.#send(path);
      if (!isEmptied(content)) mirror.setBeside(path);
      mirror.write(path, content);
      this.#changed++;
    }
    mirror.agree(path, { hash: hashOf(content), stamp: from.stamp });
  }

  /** Why, where it is no whole file yet, or none of this folder: it is looked at again at the next meeting. */
  async #contentOf(from: FoundOutside): Promise<Uint8Array | string> {
    const { outside, signal } = this.#meeting;
    const came = await outside.read(from.path, from.bytes, signal);
    const content = from.locked ? await this.#opened(came, from.path) : came;
    if (!content) return 'it is locked with another passphrase, or not whole';
    const read = readSegment(new TextDecoder().decode(content));
    return read.kind === 'partial' ? 'it is still on its way' : content;
  }

  async #opened(came: Uint8Array, path: string): Promise<Uint8Array | undefined> {
    try {
      return await this.#sealFor(path)?.open(came);
    } catch {
      return undefined;
    }
  }

  async #takeOpenTwins(listing: Listing): Promise<void> {
    const { mirror, outside, signal } = this.#meeting;
    const after = this.#sent > 0 ? await outside.list(signal) : listing;
    for (const step of openTwins(after ?? listing, mirror.isOwn)) await this.#take(step);
  }

  async #patiently<T>(act: () => Promise<T>): Promise<T> {
    const { outside, pauses = PAUSES_MS, signal } = this.#meeting;
    for (const pause of pauses) {
      try {
        return await act();
      } catch (error) {
        if (signal.aborted || troubleOf(error, outside.name).remedy !== 'again') throw error;
      }
      await new Promise((done) => setTimeout(done, pause));
    }
    return act();
  }
}

const placeOf = (path: string): string => partsOf(path)?.place ?? '';

function isEmptied(content: Uint8Array): boolean {
  const read = readSegment(new TextDecoder().decode(content));
  if (read.kind !== 'whole') return false;
  const { parcel, batch, recording } = read.segment;
  return !parcel && !batch && !recording;
}

const homeGone = (place: string): Problem => ({
  code: 'shared-home-gone',
  message: `The folder of all shared files is not on ${place} any more`,
  cure: 'Nothing here was removed. Connect it again, and what this computer has is put there anew.',
});
