// Files whose content is known here and that are gone from the shared folder for good, though nobody took them away.
import {
  accountedFor,
  numbersOf,
  type OnShelf,
  type Shelf,
  stoodForOn,
  within,
  writersOf,
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

export interface Lost {
  /** All that stood in them is known here. */
  readonly files: readonly FileOf[];
  /** What is known here is to be compared with what lies in the folder. */
  readonly compare: boolean;
}

/**
 * Counts this look. What another machine took away as a whole counts, too: who still shares goes on to tell all that is
 * known of the player, so that a machine that joins later finds it. A file that nobody here has ever read may have held
 * what is known here from elsewhere, as where a backup was brought back: that is looked at once, and it is waited for.
 */
export function lostFiles({ shared, kept, patience = PATIENCE }: LostAround): Lost {
  const mine = shared.writers;
  const { shelf } = shared.look();
  const read = Map.groupBy(kept.files, nameOf);
  const known = [...read.values()].filter(goneFrom(shelf)).map(([one]) => one!);
  const names = new Set(known.map(nameOf));
  // Sheets and reports are looked after by themselves.
  const posted = new Set(kept.posted.files.map(nameOf));
  const writers = new Set([...mine, ...kept.writers]);
  const unknown = writersOf(shelf)
    .filter(({ writer }) => writers.has(writer))
    .flatMap(({ writer, missing }) => missing.map((number) => ({ writer, number })))
    .filter((file) => !names.has(nameOf(file)) && !posted.has(nameOf(file)));
  const looksFor = ({ writer }: FileOf): number =>
    mine.has(writer) && shelf.size > 0 ? patience.own : patience.others;
  const missed = kept.missed([...known, ...unknown]);
  const files = missed.filter((file) => names.has(nameOf(file)) && file.looks >= looksFor(file));
  const isDue = missed.some((file) => !names.has(nameOf(file)) && file.looks === looksFor(file));
  return { files, compare: isDue || files.length > 0 };
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
