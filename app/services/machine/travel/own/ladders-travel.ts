// The ladder last used for each unit, as it goes from machine to machine.
import type { Json } from '../../../../core/exchange/shared/facts.ts';
import type { SavedLadder } from '../../../contract/contract.ts';
import type { Documents } from '../../store/documents.ts';
import { ladderKind } from '../../store/ladders.ts';
import { type Traveller, valuesOf } from './traveller.ts';

const PREFIX = 'ladder:';

/** Saved ladders, one value each. */
export const laddersTravel = (ladders: Documents<SavedLadder>): Traveller => ({
  prefixes: [PREFIX],
  values: () =>
    valuesOf(
      ladders.list().map((one) => [`${PREFIX}${ladders.idOf(one)}`, one as unknown as Json]),
    ),
  take: (values) => {
    const put: SavedLadder[] = [];
    const drop: string[] = [];
    for (const [key, value] of values) {
      const read = ladderKind.parse(value);
      if (read.ok) put.push(read.value);
      else if (value === null) drop.push(key.slice(PREFIX.length));
    }
    const done = ladders.exchange(put, drop);
    if (!done.ok) throw new Error(done.problems[0]!.message);
  },
});
