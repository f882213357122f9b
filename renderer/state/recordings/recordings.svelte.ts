// Recordings as the view lists them: those kept here, and those that students or one's other computers gave to be heard.
import { fail, ok, type Problem, type Result } from '../../../app/core/base/result.ts';
import { OWN_DESK } from '../../../app/core/progress/assignment.ts';
import type { RecordingNote, SoundKind } from '../../../app/core/exchange/recording.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type { KeptRecording, SharedRecording } from '../../../app/services/contract/recordings.ts';
import { fromBase64 } from '../../page/base64.ts';
import { fileName, saveFile } from '../../page/save-file.ts';
import type { DeskState } from '../desk/desk.svelte.ts';
import type { SharedFolder } from '../desk/shared.svelte.ts';
import type { Messages } from '../messages/messages.svelte.ts';

export interface RecordingsAround {
  readonly services: Pick<Services, 'call' | 'on'>;
  readonly messages: Pick<Messages, 'say' | 'refuse'>;
  readonly desk: Pick<DeskState, 'own' | 'load'>;
  readonly shared: Pick<SharedFolder, 'now' | 'load'>;
}

/** One in a list, wherever it lies. */
export interface ListedRecording {
  /** Of the recording here, or of its file in the shared folder. */
  readonly id: string;
  readonly note: RecordingNote;
  /** A student's identity, or {@link OWN_DESK}. */
  readonly of: string;
  /** Another computer of the player that keeps it; absent where it is kept here, and for those of students. */
  readonly machine?: string;
  readonly state: KeptRecording['state'];
  /** Who may hear it in the shared folder: a teacher by the list, or ''. Absent where it was not given. */
  readonly given?: string;
}

/** Somebody to whom a recording can be given. */
export interface Hearer {
  /** The list of a teacher; null for the player's own computers. */
  readonly to: string | null;
  readonly name: string;
}

export class Recordings {
  readonly #around: RecordingsAround;
  #all = $state.raw<readonly ListedRecording[]>([]);
  #problems = $state.raw<readonly Problem[]>([]);
  /** Taking one out of the shared folder, or putting one there: by its identity. */
  #busy = $state<string>();

  constructor(around: RecordingsAround) {
    this.#around = around;
    around.services.on('shared', () => void this.load());
  }

  /** Newest first. */
  get all(): readonly ListedRecording[] {
    return this.#all;
  }
  get problems(): readonly Problem[] {
    return this.#problems;
  }
  get busy(): string | undefined {
    return this.#busy;
  }

  load = async (): Promise<void> => {
    const { services, desk, shared } = this.#around;
    const [kept, given] = await Promise.all([
      services.call('recordings.list', {}),
      services.call('shared.recordings', {}),
      desk.load(),
      shared.load(),
    ]);
    this.#all = listed(kept.all, given);
    this.#problems = kept.problems;
  };

  find = (id: string | undefined): ListedRecording | undefined =>
    this.#all.find((one) => one.id === id);

  /** Of a student or of the player; of one chart where it is named. */
  of = (person: string, chart = ''): readonly ListedRecording[] =>
    this.#all.filter((one) => one.of === person && (chart === '' || one.note.chart.id === chart));

  /** Nobody where nothing is shared. */
  get hearers(): readonly Hearer[] {
    const { desk, shared } = this.#around;
    if (shared.now.folder === undefined) return [];
    const teachers = (desk.own.knownTo ?? []).map(({ id, teacher }) => ({
      ...{ to: id, name: teacher || 'my teacher' },
    }));
    const own = shared.now.own ? [{ to: null, name: 'my other computers' }] : [];
    return [...teachers, ...own];
  }

  /** The sound as an address of this page, to be given back by `URL.revokeObjectURL`. */
  sound = async (one: ListedRecording): Promise<string | undefined> => {
    const fetched = await this.#fetch(one);
    return fetched && URL.createObjectURL(fetched.sound);
  };

  save = async (one: ListedRecording): Promise<void> => {
    const fetched = await this.#fetch(one);
    if (!fetched) return;
    const { chart, at } = one.note;
    const name = fileName(`${at.slice(0, 10)} ${chart.title}`, `.${fetched.kind}`);
    saveFile(name, fetched.sound, fetched.sound.type);
  };

  /** '' takes the words away. What was given is given anew, so that the words go along. */
  remark = async ({ id, given }: ListedRecording, words: string): Promise<void> => {
    const { services } = this.#around;
    const done = await services.call('recordings.remark', { id, remark: words });
    await this.#told(done);
    if (done.ok && given !== undefined) await this.#give(id, given === '' ? null : given);
  };

  remove = (one: ListedRecording): Promise<boolean> =>
    this.#while(one.id, () => this.#around.services.call('recordings.remove', { id: one.id }));

  give = async (one: ListedRecording, { to, name }: Hearer): Promise<void> => {
    if (await this.#give(one.id, to))
      this.#around.messages.say(`The recording was put into the shared folder for ${name}.`);
  };

  takeBack = async (one: ListedRecording): Promise<void> => {
    const { services, messages } = this.#around;
    const done = await this.#while(one.id, () => services.call('shared.takeBack', { id: one.id }));
    if (done) messages.say('It was taken out of the shared folder. Here it is kept.');
  };

  #give = (id: string, to: string | null): Promise<boolean> =>
    this.#while(id, () => this.#around.services.call('shared.giveRecording', { id, to }));

  async #while(id: string, work: () => Promise<Result<unknown>>): Promise<boolean> {
    this.#busy = id;
    try {
      return await this.#told(await work());
    } finally {
      this.#busy = undefined;
    }
  }

  async #told(done: Result<unknown>): Promise<boolean> {
    if (!done.ok) this.#around.messages.refuse(done.problems);
    await this.load();
    return done.ok;
  }

  async #fetch(
    one: ListedRecording,
  ): Promise<{ readonly sound: Blob; readonly kind: SoundKind } | undefined> {
    const { services, messages } = this.#around;
    const fetched = await fetchSound(services, one);
    if (!fetched.ok) {
      messages.refuse(fetched.problems);
      return undefined;
    }
    const { bytes, kind, whole } = fetched.value;
    if (!whole && one.state === 'whole') messages.refuse([changedSound]);
    return { kind, sound: new Blob([...bytes], { type: `audio/${kind}` }) };
  }
}

function listed(
  kept: readonly KeptRecording[],
  given: readonly SharedRecording[],
): readonly ListedRecording[] {
  const here = new Map(
    given.flatMap(({ note, from }) => (from.kind === 'here' ? [[note.id, from.to ?? '']] : [])),
  );
  const others = given.flatMap(({ file, note, from }): ListedRecording[] => {
    if (from.kind === 'here') return [];
    const whose =
      from.kind === 'own' ? { of: OWN_DESK, machine: from.machine } : { of: from.student };
    return [{ id: file, note, state: stateOf(note), ...whose }];
  });
  const own = kept.map(({ note, state }): ListedRecording => {
    const to = here.get(note.id);
    return { id: note.id, note, state, of: OWN_DESK, ...(to === undefined ? {} : { given: to }) };
  });
  return [...own, ...others].sort((a, b) => Date.parse(b.note.at) - Date.parse(a.note.at));
}

const stateOf = ({ seconds }: RecordingNote): KeptRecording['state'] =>
  seconds === undefined ? 'broken-off' : 'whole';

interface Fetched {
  readonly bytes: readonly Uint8Array<ArrayBuffer>[];
  readonly kind: SoundKind;
  readonly whole: boolean;
}

/** Part by part, from where it lies. */
async function fetchSound(
  { call }: Pick<Services, 'call'>,
  { id, of, machine }: ListedRecording,
): Promise<Result<Fetched>> {
  const isHere = of === OWN_DESK && machine === undefined;
  const opened = await call(isHere ? 'recordings.open' : 'shared.openRecording', { id });
  if (!opened.ok) return opened;
  const { bytes, kind, whole } = opened.value;
  const parts: Uint8Array<ArrayBuffer>[] = [];
  for (let from = 0; from < bytes;) {
    const asked = { id, from };
    const part = await call(isHere ? 'recordings.part' : 'shared.recordingPart', asked);
    if (!part.ok) return part;
    const content = fromBase64(part.value.base64);
    if (content.length === 0) return fail(brokenOff);
    parts.push(content);
    from += content.length;
  }
  return ok({ bytes: parts, kind, whole });
}

const brokenOff: Problem = {
  code: 'recording-gone',
  message: 'The recording broke off on its way',
  cure: 'Play it again.',
};

const changedSound: Problem = {
  code: 'recording-changed',
  message: 'This file is not as it was recorded; it may break off or crackle',
  cure: 'Bring it back from an archive if you have one.',
};
