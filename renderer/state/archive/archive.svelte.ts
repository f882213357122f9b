// Everything in one file, and back: made, opened to look, brought in, undone.
import type {
  ArchiveChoice,
  ArchiveLook,
  BroughtIn,
} from '../../../app/services/contract/archives.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type { Share } from '../../../app/core/base/units.ts';
import { saveFile } from '../../page/save-file.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import { fetchArchive, giveArchive } from './file-parts.ts';

interface ArchiveAround {
  readonly services: Pick<Services, 'call'>;
  readonly messages: Messages;
}

/** What goes on just now, and how far it is. */
export interface Busy {
  readonly what: 'saving' | 'reading' | 'bringing';
  readonly share: Share;
}

export class ArchiveState {
  readonly #around: ArchiveAround;
  #busy = $state.raw<Busy>();
  #look = $state.raw<ArchiveLook>();
  #brought = $state.raw<BroughtIn>();
  #last = $state.raw<BroughtIn | null>(null);

  constructor(around: ArchiveAround) {
    this.#around = around;
  }

  get busy(): Busy | undefined {
    return this.#busy;
  }
  /** What the opened archive holds beside what is here. */
  get opened(): ArchiveLook | undefined {
    return this.#look;
  }
  /** What was just brought in: every room is to be read anew. */
  get brought(): BroughtIn | undefined {
    return this.#brought;
  }
  /** What was brought in last and can be undone. */
  get last(): BroughtIn | null {
    return this.#last;
  }

  readLast = async (): Promise<void> => {
    this.#last = await this.#around.services.call('archives.last', {});
  };

  save = (): Promise<void> =>
    this.#while('saving', async (told) => {
      const { services, messages } = this.#around;
      const made = await services.call('archives.save', {});
      if (!made.ok) return messages.refuse(made.problems);
      messages.refuse(made.value.problems);
      const whole = await fetchArchive(services, made.value.bytes, told);
      if (!whole.ok) return messages.refuse(whole.problems);
      saveFile(made.value.name, whole.value, 'application/zip');
      messages.say(`Everything is in ‘${made.value.name}’. Keep it where you will find it again.`);
    });

  open = ([file]: readonly File[]): Promise<void> =>
    this.#while('reading', async (told) => {
      const { services, messages } = this.#around;
      if (!file) return;
      const given = await giveArchive(services, file, told);
      const look = given.ok ? await services.call('archives.look', {}) : given;
      if (look.ok) this.#look = look.value;
      else messages.refuse(look.problems);
    });

  bringIn = (choice: ArchiveChoice): Promise<void> =>
    this.#while('bringing', async () => {
      const { services, messages } = this.#around;
      const brought = await services.call('archives.bringIn', choice);
      if (brought.ok) this.#brought = brought.value;
      else messages.refuse(brought.problems);
      await this.readLast();
    });

  putAway = async (): Promise<void> => {
    this.#look = undefined;
    await this.#around.services.call('archives.putAway', {});
  };

  /** True where something was taken out: every room is to be read anew. */
  undo = async (): Promise<boolean> => {
    const { services, messages } = this.#around;
    const undone = await services.call('archives.undo', {});
    if (!undone.ok) messages.refuse(undone.problems);
    else if (undone.value.stayed > 0)
      messages.say(`${undone.value.stayed} of them stayed, since they were changed meanwhile.`);
    return undone.ok;
  };

  async #while(
    what: Busy['what'],
    work: (told: (share: Share) => void) => Promise<void>,
  ): Promise<void> {
    if (this.#busy) return;
    this.#busy = { what, share: 0 };
    try {
      await work((share) => (this.#busy = { what, share }));
    } finally {
      this.#busy = undefined;
    }
  }
}
