// Where things are shared: a folder as it is, or a copy of a server's folder or of a locked one, which a courier carries.
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import type { ServerChoice, SharedCarrier, SharedState } from '../../contract/shared.ts';
import type { Way } from '../shared/memory.ts';
import { foldersIn, HOME } from '../shared/places.ts';
import { SharedFolder, type SharedOptions } from '../shared/shared-folder.ts';
import { readAddress } from './address.ts';
import { carriedFolder } from './carried-folder.ts';
import { Courier } from './courier.ts';
import { openDav } from './dav.ts';
import { Keyring } from './keyring.ts';
import { Mirror } from './mirror.ts';
import type { Outside } from './outside.ts';
import { isKeyFile } from './seal.ts';
import { type OpenVault, SecretKeeper } from './secrets.ts';
import type { Outcome } from './sync.ts';
import { troubleOf } from './troubles.ts';

/** What of carrying takes time on purpose; the usual if left out. */
export interface CarrierPace {
  /** Milliseconds between tries of one request. */
  readonly pauses?: readonly number[];
  /** How slow a passphrase is to try (`seal.ts`). */
  readonly workFactor?: number;
}

interface PlaceOptions extends SharedOptions, CarrierPace {
  readonly vault?: OpenVault | undefined;
  /** What waits or how it travels has changed. */
  readonly told: () => void;
  /** Milliseconds for a request's answer; the usual if left out. */
  readonly patience?: number;
}

/** What carries a copy to and from one place. */
interface Carrying {
  readonly way: Way;
  readonly mirror: Mirror;
  readonly courier: Courier;
}

export class SharedPlace {
  /** Looks into the folder itself, or into the copy. */
  readonly folder: SharedFolder;
  readonly #options: PlaceOptions;
  readonly #secrets: SecretKeeper;
  #keyring: Keyring;
  #carrying: Carrying | undefined;
  #toldLast = '';

  constructor(options: PlaceOptions) {
    this.#options = options;
    this.folder = new SharedFolder({
      ...options,
      beforeWriting: () => this.#lookForLock(),
      afterWriting: () => this.#carrying?.courier.soon(),
    });
    this.#secrets = new SecretKeeper(options.directory, options.vault);
    this.#keyring = new Keyring(this.#secrets, this.#options.workFactor);
    const { way } = this.folder.memory.now;
    if (way) this.#carry(way);
  }

  /** The chosen folder or server, as the player wrote it. */
  get chosen(): string | undefined {
    const { way, folder } = this.folder.memory.now;
    return way ? placeOf(way) : folder;
  }

  state(): SharedState {
    this.#lookForLock();
    const state = this.folder.state();
    if (!this.#carrying) return state;
    const { way, courier } = this.#carrying;
    courier.soon();
    const flawed = [...(state.flawed ?? []), ...courier.state.flawed];
    return {
      ...state,
      folder: placeOf(way),
      carrier: this.#carrierOf(this.#carrying),
      ...(flawed.length > 0 ? { flawed } : {}),
    };
  }

  /** Undefined leaves the shared folder, whatever carried it; nothing in it is changed. */
  choose(folder: string | undefined): Result<null> {
    const chosen = this.folder.choose(folder);
    if (!chosen.ok) return chosen;
    this.#leave();
    this.#lookForLock();
    return chosen;
  }

  /** Ends sharing. @param takeOut takes away what this computer wrote first; where that fails, nothing is ended */
  async stop(takeOut: boolean): Promise<Result<null>> {
    if (takeOut) {
      // Before anything is taken away, what is in the way is known.
      const open = await this.#meetWell();
      if (!open.ok) return open;
      const out = this.folder.withdraw();
      if (!out.ok) return out;
      const gone = await this.#meetWell();
      if (!gone.ok) return gone;
    }
    return this.choose(undefined);
  }

  async #meetWell(): Promise<Result<null>> {
    await this.meet();
    const { trouble, closed } = this.#carrying?.courier.state ?? {};
    const problem = trouble ?? closed;
    return problem ? fail(problem) : ok(null);
  }

  /** Asks the server before anything is kept. */
  async connect(choice: ServerChoice): Promise<Result<null>> {
    const address = readAddress(choice.url);
    if (!address.ok) return address;
    const way: Way = { kind: 'server', url: address.value.url, user: choice.user };
    const before = this.#carrying?.way;
    const same = before !== undefined && keyOf(before) === keyOf(way);
    const password =
      choice.password ?? (same ? (await this.#secrets.load()).password : undefined) ?? '';
    const outside = await openDav({ ...way, password }, this.#options.patience);
    const signal = new AbortController().signal;
    try {
      const there = await outside.list(signal);
      await outside.makeHome(signal);
      if (!same) this.#leave();
      await this.#secrets.keep({ password });
      this.#carry(way, there === undefined);
      return ok(null);
    } catch (error) {
      return fail(troubleOf(error, outside.name).problem);
    }
  }

  /** Locks what is shared from now on, or opens what others have locked. */
  async lock(passphrase: string): Promise<Result<null>> {
    const way = this.#carrying?.way ?? this.#folderAsItIs();
    if (!way) return fail(nothingChosen);
    try {
      const outside = await this.#outsideOf(way);
      const { signal } = new AbortController();
      const fits = await this.#keyring.use(passphrase, { outside, signal });
      if (!fits.ok) return fits;
      if (!this.#carrying) this.#carry(way);
      // Own files come here first where they lie open, and go back locked.
      await this.meet();
      await this.meet();
      return ok(null);
    } catch (error) {
      return fail(troubleOf(error, 'The shared folder').problem);
    }
  }

  /** Locks what is locked with another passphrase: the old one opens nothing that was not opened with it before. */
  async relock(passphrase: string): Promise<Result<null>> {
    if (!this.#carrying) return fail(nothingChosen);
    try {
      const outside = await this.#outsideOf(this.#carrying.way);
      const { signal } = new AbortController();
      const changed = await this.#keyring.change(passphrase, { outside, signal });
      if (changed.ok) await this.meet();
      return changed;
    } catch (error) {
      return fail(troubleOf(error, 'The shared folder').problem);
    }
  }

  /** Carries what waits now, whatever failed before. */
  async meet(): Promise<void> {
    await this.#carrying?.courier.meet();
  }

  /** Empties what this machine wrote of a student, wherever it lies. */
  forget(student: string): Result<{ readonly emptied: number }> {
    this.#lookForLock();
    const emptied = this.folder.forget(student);
    this.#carrying?.courier.soon();
    return emptied;
  }

  close(): void {
    this.#carrying?.courier.close();
  }

  #carry(way: Way, anew = false): void {
    this.#carrying?.courier.close();
    const { directory, now, pauses } = this.#options;
    const mirror = new Mirror(path.join(directory, 'shared-mirror', keyOf(way)));
    if (anew) mirror.forgetAgreed();
    this.folder.choose(mirror.folder);
    this.folder.memory.keep({ way });
    let outside: Outside | undefined;
    const courier = new Courier({
      now,
      prepare: async () => {
        mirror.addOwn(this.#ownWriters());
        mirror.isReplaced = this.folder.isReplaced();
        const to = (outside ??= await this.#outsideOf(way));
        return {
          ...{ mirror, outside: to, keyring: this.#keyring },
          ...(pauses ? { pauses } : {}),
        };
      },
      told: this.#tell,
    });
    this.#carrying = { way, mirror, courier };
    courier.soon();
  }

  /** Only what the view would show otherwise is told. */
  #tell = (outcome: Outcome): void => {
    const { changed, sent, open, flawed, closed, trouble } = outcome;
    const now = JSON.stringify({ open, flawed, closed, trouble: trouble?.problem });
    if (changed === 0 && sent === 0 && now === this.#toldLast) return;
    this.#toldLast = now;
    this.#options.told();
  };

  /** The copy here goes, too, unless something in it has not gone out yet. */
  #leave(): void {
    const left = this.#carrying;
    left?.courier.close();
    left?.mirror.addOwn(this.#ownWriters());
    if (left?.mirror.unsent() === 0) left.mirror.remove();
    this.#carrying = undefined;
    this.#secrets.drop();
    this.#keyring = new Keyring(this.#secrets, this.#options.workFactor);
    if (this.folder.memory.now.way) this.folder.memory.keep({ way: undefined });
  }

  /** Somebody locked the folder: from here on nothing of this computer is written there openly. */
  #lookForLock(): void {
    const way = this.#carrying ? undefined : this.#folderAsItIs();
    if (way?.kind === 'folder' && hasKeyFile(way.folder)) this.#carry(way);
  }

  /** Under every name it has or had. */
  #ownWriters(): readonly string[] {
    const { places, was = [] } = this.folder.memory.now;
    return [...was, ...places.map(({ writer }) => writer)];
  }

  #folderAsItIs(): Way | undefined {
    const { folder } = this.folder.memory.now;
    return folder === undefined ? undefined : { kind: 'folder', folder };
  }

  async #outsideOf(way: Way): Promise<Outside> {
    if (way.kind === 'folder') return carriedFolder(way.folder);
    const { password = '' } = await this.#secrets.load();
    return openDav({ ...way, password }, this.#options.patience);
  }

  #carrierOf({ way, courier, mirror }: Carrying): SharedCarrier {
    mirror.addOwn(this.#ownWriters());
    return {
      ...courier.state,
      unsent: mirror.unsent(),
      locked: this.#secrets.now.passphrase !== undefined,
      ...(way.kind === 'server'
        ? { server: { url: way.url, user: way.user, open: way.url.startsWith('http:') } }
        : {}),
    };
  }
}

const placeOf = (way: Way): string => (way.kind === 'server' ? way.url : way.folder);

/** Each place has a copy of its own. */
const keyOf = (way: Way): string =>
  createHash('sha256')
    .update(way.kind === 'server' ? `${way.url}\n${way.user}` : way.folder)
    .digest('hex')
    .slice(0, 16);

/** In any place of it. */
const hasKeyFile = (folder: string): boolean =>
  [folder, ...foldersIn(folder)]
    .map((place) => path.join(place, HOME))
    .some((home) => fs.existsSync(home) && fs.readdirSync(home).some(isKeyFile));

const nothingChosen: Problem = {
  code: 'shared-nothing-chosen',
  message: 'No shared folder is chosen yet',
  cure: 'Choose a folder or a server first.',
};
