// Task sheets and reports whose files are gone from the shared folder, though nobody took them away: they are posted
// again by who wrote them, and nobody waits for the numbers that are gone.
import { accountedFor } from '../../../core/exchange/shared/shelf.ts';
import type { Parcel } from '../../../core/exchange/shared/parcel.ts';
import { type Patience, PATIENCE } from '../shared/patience.ts';
import type { SharedFolder } from '../shared/shared-folder.ts';
import type { KeptPosted } from './own/kept-posted.ts';

interface LostAround {
  readonly shared: SharedFolder;
  readonly posted: KeptPosted;
  readonly patience?: Patience | undefined;
  /** Reports that came one on top of the other: all of them are made anew from the log. */
  readonly reportAnew: (student: string) => void;
  /** What was kept of one is damaged, too. */
  readonly spoilt: (about: Pick<Parcel, 'kind' | 'student'>) => void;
}

/** Looks for them once, and tells them again where it is time. @throws Error where they could not be written */
export function tellLostParcels(around: LostAround): void {
  const { shared, posted, patience = PATIENCE, reportAnew } = around;
  const { folder } = shared.memory.now;
  if (folder === undefined || !shared.isThere) return;
  const { shelf } = shared.look();
  const lost = posted.missing(
    folder,
    accountedFor(shelf),
    // Where nothing is there at all, a drive may be another one.
    shelf.size > 0 ? patience.own : patience.others,
  );
  if (lost.length === 0) return;
  for (const { parcel, spoilt } of lost) {
    if (spoilt) around.spoilt(spoilt);
    if (!parcel) continue;
    if (parcel.adds) reportAnew(parcel.student);
    else must(shared.post(parcel));
  }
  for (const [place, files] of Map.groupBy(lost, (one) => one.place))
    must(shared.waitNoMore(files, place));
}

function must(done: ReturnType<SharedFolder['post']>): void {
  if (!done.ok) throw new Error(done.problems[0]!.message);
}
