// The shared folder as the view sees it: which it is, what waits in it, what was put there.
import type { Parcel } from '../../../app/core/exchange/shared/parcel.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type {
  LeavingParcel,
  ServerChoice,
  SharedState,
  WaitingParcel,
} from '../../../app/services/contract/shared.ts';
import type { Result } from '../../../app/core/base/result.ts';
import { fileName } from '../../page/save-file.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import type { DeskState } from './desk.svelte.ts';
import type { DeskFiles } from './files.svelte.ts';

interface SharedAround {
  readonly services: Pick<Services, 'call'>;
  readonly messages: Messages;
  readonly desk: DeskState;
  readonly deskFiles: DeskFiles;
}

/** What became of something that was to go into the shared folder: there, carried there by this program, or kept until it can be. */
export type Sent = 'there' | 'on its way' | 'waits';

/** Whose sheet it is by the name of its file, with and without the number that tells namesakes apart. */
function calledIn(name: string): readonly string[] {
  const called = name.replace(/ task sheet\.rungsheet$/, '');
  return [called, called.replace(/ \d+$/, '')];
}

const NONE: SharedState = { writers: [], waiting: [], written: [] };

export class SharedFolder {
  readonly #around: SharedAround;
  #now = $state.raw<SharedState>(NONE);

  constructor(around: SharedAround) {
    this.#around = around;
  }

  get now(): SharedState {
    return this.#now;
  }
  /** Task sheets for this player, those of another teacher by the name; all of them while no list is known yet. */
  get sheets(): readonly WaitingParcel[] {
    const { knownTo = [] } = this.#around.desk.own;
    const names = knownTo.map(({ name }) => fileName(name, ''));
    return this.#now.waiting.filter(
      ({ kind, student, name, newTeacher }) =>
        kind === 'sheet' &&
        (knownTo.length === 0 ||
          knownTo.some(({ id }) => id === student) ||
          (newTeacher === true && calledIn(name).some((called) => names.includes(called)))),
    );
  }
  /** Those of students on the list by the names that the list shows: two may bear one. */
  get reports(): readonly WaitingParcel[] {
    const { desk } = this.#around;
    return this.#now.waiting
      .filter(({ kind }) => kind === 'report')
      .map((report) => {
        const from = desk.find(report.student);
        return from
          ? { ...report, name: `${desk.labelOf(from)} practice report.rungreport` }
          : report;
      });
  }

  /** Looks into the folder. */
  load = async (): Promise<void> => {
    this.#now = await this.#around.services.call('shared.read', {});
  };

  /** @param folder whole path */
  choose = (folder: string): Promise<boolean> =>
    this.#changed(this.#around.services.call('shared.choose', { folder: folder.trim() }));

  /** Shares through a folder on a server. */
  connect = (server: ServerChoice): Promise<boolean> =>
    this.#changed(this.#around.services.call('shared.connect', server));

  /** Locks what is shared, or opens what others have locked. */
  lock = (passphrase: string): Promise<boolean> =>
    this.#changed(this.#around.services.call('shared.lock', { passphrase }));

  /** Changes the passphrase. */
  relock = (passphrase: string): Promise<boolean> =>
    this.#changed(this.#around.services.call('shared.relock', { passphrase }));

  /** Ends sharing. @param takeOut takes away what this computer wrote there first */
  stop = (takeOut: boolean): Promise<boolean> =>
    this.#changed(this.#around.services.call('shared.stop', { takeOut }));

  /** Carries what waits now. */
  meet = async (): Promise<void> => {
    await this.#around.services.call('shared.meet', {});
    await this.load();
  };

  async #changed(asked: Promise<Result<null>>): Promise<boolean> {
    const answer = await asked;
    if (!answer.ok) this.#around.messages.refuse(answer.problems);
    await this.load();
    return answer.ok;
  }

  /** Shows what it would do, as an opened file does; once it is taken in it waits no more. */
  open = async ({ id, name }: WaitingParcel): Promise<void> => {
    const { services, deskFiles, messages } = this.#around;
    const text = await services.call('shared.open', { id });
    if (!text.ok) return messages.refuse(text.problems);
    await deskFiles.open([new File([text.value], name)], () => void this.leave(id));
  };

  /** It is not offered again. */
  leave = async (id: string): Promise<void> => {
    await this.#around.services.call('shared.taken', { id });
    await this.load();
  };

  /** What waits here to go to one student, or in a report of the player's own. */
  leavingTo = (kind: Parcel['kind'], student?: string): readonly LeavingParcel[] =>
    (this.#now.leaving ?? []).filter(
      (one) => one.kind === kind && (student === undefined || one.student === student),
    );

  /** Where that goes once it can, and why it cannot now. */
  get leavingAbout(): Pick<SharedState, 'folder' | 'leavingWhy'> {
    const { folder, leavingWhy } = this.#now;
    return { ...(folder === undefined ? {} : { folder }), ...(leavingWhy ? { leavingWhy } : {}) };
  }

  /** It does not go into the shared folder. */
  keepBack = async ({ id }: LeavingParcel): Promise<void> => {
    await this.#around.services.call('shared.keepBack', { id });
    await this.load();
  };

  /** Where it is now; undefined where no folder is chosen, or it could not be kept. */
  post = async (parcel: Parcel): Promise<Sent | undefined> => {
    await this.load();
    if (this.#now.folder === undefined) return undefined;
    const answer = await this.#around.services.call('shared.post', parcel);
    if (!answer.ok) this.#around.messages.refuse(answer.problems);
    await this.load();
    if (!answer.ok) return undefined;
    const { carrier } = this.#now;
    if (answer.value === 'waits' || carrier?.trouble || carrier?.closed) return 'waits';
    return carrier ? 'on its way' : 'there';
  };
}
