// The door to all that shares: while no folder is chosen, nothing behind it is loaded, opened or written.
import { ok, type Problem } from '../../core/base/result.ts';
import { type HandlersOf, loadedLater } from '../contract/handlers.ts';
import { NOTHING_TRAVELLED } from '../contract/shared.ts';
import { isShared, unsharedIn } from './shared/memory.ts';
import { inWords } from './store/durable.ts';
import type { Sharing, SharingAround } from './travel/open-sharing.ts';
import { LoadedOnce } from '../../core/base/loaded-once.ts';

export class SharingDoor {
  readonly handlers: HandlersOf<'shared'>;
  readonly #around: SharingAround;
  readonly #loading = new LoadedOnce(() => this.#load());
  #sharing: Sharing | undefined;
  #closed = false;

  constructor(around: SharingAround) {
    this.#around = around;
    const { directory } = around;
    if (isShared(directory)) this.#loading.get().catch(this.#tell);
    const behind = loadedLater('shared', async () => (await this.#loading.get()).handlers);
    this.handlers = {
      ...behind,
      'shared.read': (input) =>
        this.#isOpen ? behind['shared.read'](input) : unsharedIn(directory),
      'shared.meet': (input) => (this.#isOpen ? behind['shared.meet'](input) : null),
      'shared.sync': (input) => (this.#isOpen ? behind['shared.sync'](input) : NOTHING_TRAVELLED),
      'shared.recordings': (input) => (this.#isOpen ? behind['shared.recordings'](input) : []),
      'shared.keepBack': (input) => (this.#isOpen ? behind['shared.keepBack'](input) : null),
      'shared.takeBack': (input) => (this.#isOpen ? behind['shared.takeBack'](input) : ok(null)),
      'shared.forget': (input) =>
        this.#isOpen ? behind['shared.forget'](input) : ok({ emptied: 0 }),
    };
  }

  /** Hands on what is new and takes in what came, while nobody climbs; nothing where nothing is shared. Never throws. */
  async syncQuietly(): Promise<void> {
    try {
      if (this.#isOpen) await (await this.#loading.get()).sync(true);
    } catch (error) {
      this.#tell(error);
    }
  }

  /** Puts into a folder that is back what waits for it. Never throws. */
  retry(): void {
    this.#sharing?.retry();
  }

  /** At the end of the program. */
  close(): void {
    this.#closed = true;
    this.#sharing?.close();
  }

  /** Was it loaded, or is it about to be? */
  get #isOpen(): boolean {
    return this.#loading.asked || isShared(this.#around.directory);
  }

  async #load(): Promise<Sharing> {
    const { openSharing } = await import('./travel/open-sharing.ts');
    if (this.#closed) throw new Error('the program is ending');
    return (this.#sharing = openSharing(this.#around));
  }

  #tell = (error: unknown): void => {
    if (!this.#closed) this.#around.standing.raise(notLoaded(error));
  };
}

const notLoaded = (error: unknown): Problem => ({
  code: 'not-shared',
  message: `What is new could not be shared: ${inWords(error)}.`,
  cure: 'It is tried again by itself. If it stays, install Rungwise again; nothing is lost meanwhile.',
});
