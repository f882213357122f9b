// Files whose content is known here and that are gone from the shared folder for good, though nobody took them away.
import {
  accountedFor,
  numbersOf,
  type OnShelf,
  replacedOn,
  type Shelf,
  stoodForOn,
  within,
} from '../../../../core/exchange/shared/shelf.ts';
import type { FileOf, Written } from '../../shared/own-files.ts';
import type { SharedFolder } from '../../shared/shared-folder.ts';
import { type Patience, PATIENCE } from '../../shared/patience.ts';
import type { KeptWrites } from './kept-writes.ts';

interface LostAround {
  readonly shared: SharedFolder;
  readonly kept: KeptWrites;
  readonly patience?: Patience | undefined;
}

/** A number of which a file is gone. All that stood in it is known here. */
export interface Lost {
  readonly file: FileOf;
  /** Those of it that were read and are not there. */
  readonly read: readonly Written[];
  /**
   * It is said that it stands elsewhere or was told again: by who may lack some of it, or knew the other file of that
   * number.
   */
  readonly wasTold: boolean;
}

/**
 * Counts this look. What is known here is to be compared with what lies in the folder where there are any. What another
 * machine took away as a whole counts, too: who still shares goes on to tell all that is known of the player, so that a
 * machine that joins later finds it. A file that nobody here has ever read is waited for.
 */
export function lostFiles({ shared, kept, patience = PATIENCE }: LostAround): readonly Lost[] {
  const mine = shared.writers;
  const { shelf } = shared.look();
  const lostOf = lostFrom(shelf, kept.own);
  const lost = [...Map.groupBy(kept.files, nameOf).values()].flatMap((read) => lostOf(read) ?? []);
  const looksFor = ({ writer }: FileOf): number =>
    mine.has(writer) && shelf.size > 0 ? patience.own : patience.others;
  const missed = kept.missed(lost.map(({ file }) => file));
  const due = new Set(missed.filter((file) => file.looks >= looksFor(file)).map(nameOf));
  return lost.filter(({ file }) => due.has(nameOf(file)));
}

/** Tells of the files of one number that were read which are gone: a data folder and its copy may have written two. */
function lostFrom(
  shelf: Shelf,
  own: ReadonlySet<string>,
): (read: readonly Written[]) => Lost | undefined {
  const isThere = accountedFor(shelf);
  const standsElsewhere = stoodForOn(shelf);
  const isReplaced = replacedOn(shelf);
  const emptied = Map.groupBy([...shelf.values()].filter(isEmptied), nameOf);
  return (all) => {
    const { writer, number } = all[0]!;
    const file = { writer, number };
    // Of a number that others stand for, no file may have been read.
    const read = all.filter(({ hash }) => hash !== nameOf(file) && !shelf.has(hash));
    if (!isThere(writer, number)) return { file, read, wasTold: false };
    if (isReplaced(writer, number)) {
      // Others may take theirs away; what was written here went though nobody here saw it stand elsewhere.
      const lost = read.filter(({ hash }) => own.has(hash));
      return lost.length > 0 ? { file, read: lost, wasTold: true } : undefined;
    }
    const wasTold = standsElsewhere(writer, number);
    const rightly = wasTold ? 0 : (emptied.get(nameOf(file))?.length ?? 0);
    return read.length > rightly ? { file, read, wasTold } : undefined;
  };
}

/** All that stood in them stands in others now: they are looked for no more. */
export function noteTold({ kept }: LostAround, lost: readonly Lost[]): void {
  kept.run(() => {
    kept.forgetFiles(lost.flatMap(({ read }) => read));
    for (const { file } of lost) kept.applied({ ...file, hash: nameOf(file) });
  });
}

const isEmptied = ({ batch, parcel, recording }: OnShelf): boolean =>
  !batch && !parcel && !recording;

/**
 * Notes the numbers that files on the shelf stand for, and those of files that were emptied: nobody told what was in
 * them, or it was told again. Where such a file is destroyed they count as lost, too, and not as never read.
 * @param shelf whose batches were taken in
 */
export function noteStoodFor({ shared, kept }: LostAround, shelf: Shelf): void {
  const ours = new Set([...shared.writers, ...kept.writers]);
  kept.run(() => {
    for (const [id, one] of shelf)
      if (ours.has(one.writer) && (!one.batch || kept.isApplied(id)))
        kept.appliedWith(id, () => stoodForBy(one));
  });
}

function stoodForBy(one: OnShelf): readonly FileOf[] {
  const numbers = numbersOf(one).filter((number) => isEmptied(one) || number !== one.number);
  return [
    ...numbers.map((number) => ({ writer: one.writer, number })),
    ...(one.again ?? []).flatMap(({ writer, numbers: told }) =>
      told.flatMap(within).map((number) => ({ writer, number })),
    ),
  ];
}

const nameOf = ({ writer, number }: FileOf): string => `${writer} ${number}`;
