// Recordings that were given from here: one whose file is gone from the shared folder, though nobody took it back, is
// given again, one at each look, as long as it is still kept on this machine.
import { accountedFor, type Shelf } from '../../../core/exchange/shared/shelf.ts';
import { ok, type Result } from '../../../core/base/result.ts';
import type { GivenFile } from '../shared/memory.ts';
import { type Patience, PATIENCE } from '../shared/patience.ts';
import type { FileOf } from '../shared/own-files.ts';
import type { SharedFolder } from '../shared/shared-folder.ts';

interface LostRecordingsAround {
  readonly shared: SharedFolder;
  readonly patience?: Patience | undefined;
  /** Undefined where it can be given no more: it is not kept here, or for nobody. */
  readonly giveAgain: (given: GivenFile) => Promise<Result<FileOf> | undefined>;
}

/** A folder that loses the same recording again and again is not filled with it. */
const MOST_TIMES = 3;

export class LostRecordings {
  readonly #around: LostRecordingsAround;
  /** Looks in a row at which a file was not there. */
  readonly #looks = new Map<string, number>();

  constructor(around: LostRecordingsAround) {
    this.#around = around;
  }

  /** Nothing of it is given again, and nobody waits for a file of it that is lost. */
  takenBack(recording: string): Result<unknown> {
    const { shared } = this.#around;
    const isThere = accountedFor(shared.look().shelf);
    const lost = this.#given.filter(
      ({ id, writer, number }) => id === recording && !isThere(writer, number),
    );
    this.#keep(this.#given.filter(({ id }) => id !== recording));
    return lost.length > 0 ? shared.waitNoMore(lost, '') : ok(null);
  }

  /** Looks for all that was given. @throws Error where something could not be written */
  async look(): Promise<void> {
    const { shared, patience = PATIENCE } = this.#around;
    const { folder } = shared.memory.now;
    if (folder === undefined || !shared.isThere) return;
    const { shelf } = shared.look();
    this.#keep(standing(this.#given, shelf, shared.writers, folder));
    const isThere = accountedFor(shelf);
    // Where nothing is there at all, a drive may be another one.
    const most = shelf.size > 0 ? patience.own : patience.others;
    const lost = this.#given.filter((one) => {
      const looks = isThere(one.writer, one.number) ? 0 : (this.#looks.get(nameOf(one)) ?? 0) + 1;
      this.#looks.set(nameOf(one), looks);
      return looks >= most;
    });
    if (lost[0]) await this.#giveAgain(lost[0]);
  }

  async #giveAgain(lost: GivenFile): Promise<void> {
    const { shared, giveAgain } = this.#around;
    const others = this.#given.filter((one) => nameOf(one) !== nameOf(lost));
    const stands = others.some(({ id }) => id === lost.id);
    const given = stands || lost.times >= MOST_TIMES ? undefined : await giveAgain(lost);
    if (given && !given.ok) throw new Error(given.problems[0]!.message);
    const { writer, number } = given?.value ?? lost;
    this.#keep(given ? [...others, { ...lost, writer, number, times: lost.times + 1 }] : others);
    const told = shared.waitNoMore([lost], '');
    if (!told.ok) throw new Error(told.problems[0]!.message);
  }

  get #given(): readonly GivenFile[] {
    return this.#around.shared.memory.now.given ?? [];
  }
  #keep(given: readonly GivenFile[]): void {
    const { memory } = this.#around.shared;
    if (JSON.stringify(given) !== JSON.stringify(memory.now.given ?? [])) memory.keep({ given });
  }
}

/** What was given in this folder and not taken back: as it is known, and as it lies there. */
function standing(
  known: readonly GivenFile[],
  shelf: Shelf,
  mine: ReadonlySet<string>,
  folder: string,
): readonly GivenFile[] {
  const own = [...shelf.values()].filter(({ writer }) => mine.has(writer));
  const there = own.flatMap(({ writer, number, recording }): GivenFile[] => {
    const { note, student } = recording ?? {};
    const to = student === undefined ? {} : { to: student };
    return note ? [{ id: note.id, ...to, folder, writer, number, times: 0 }] : [];
  });
  const emptied = new Set(own.filter(({ recording }) => !recording).map(nameOf));
  const names = new Set(known.map(nameOf));
  return [
    ...known.filter((one) => one.folder === folder && !emptied.has(nameOf(one))),
    ...there.filter((one) => !names.has(nameOf(one)) && !emptied.has(nameOf(one))),
  ];
}

const nameOf = ({ writer, number }: FileOf): string => `${writer} ${number}`;
