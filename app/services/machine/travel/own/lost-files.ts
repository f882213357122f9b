// Files whose content is known here and that are gone from the shared folder for good, though nobody took them away.
import {
  accountedFor,
  numbersOf,
  type OnShelf,
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

/**
 * Counts this look. All that stood in these files is known here: it is to be compared with what lies in the folder. What
 * another machine took away as a whole counts, too: who still shares goes on to tell all that is known of the player, so
 * that a machine that joins later finds it. A file that nobody here has ever read is waited for.
 */
export function lostFiles({ shared, kept, patience = PATIENCE }: LostAround): readonly FileOf[] {
  const mine = shared.writers;
  const { shelf } = shared.look();
  const read = Map.groupBy(kept.files, nameOf);
  const gone = [...read.values()].filter(goneFrom(shelf)).map(([one]) => one!);
  const looksFor = ({ writer }: FileOf): number =>
    mine.has(writer) && shelf.size > 0 ? patience.own : patience.others;
  return kept.missed(gone).filter((file) => file.looks >= looksFor(file));
}

/** Tells of the files of one number that were read whether one is gone: a data folder and its copy may have written two. */
function goneFrom(shelf: Shelf): (read: readonly Written[]) => boolean {
  const isThere = accountedFor(shelf);
  const standsElsewhere = stoodForOn(shelf);
  const emptied = Map.groupBy([...shelf.values()].filter(isEmptied), nameOf);
  return (read) => {
    const { writer, number } = read[0]!;
    if (!isThere(writer, number)) return true;
    if (standsElsewhere(writer, number)) return false;
    // Of a number that others stand for, no file may have been read.
    const gone = read.filter((one) => one.hash !== nameOf(one) && !shelf.has(one.hash));
    return gone.length > (emptied.get(nameOf(read[0]!))?.length ?? 0);
  };
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
