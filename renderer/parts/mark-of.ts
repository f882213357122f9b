// Which mark a pass gets: a miss in which the sound failed is held against nobody, and looks like it.
import type { PassRecord } from '../../app/core/model/pass.ts';

export type MarkKind = PassRecord['verdict'] | 'uncounted';

/** A miss in which the sound failed counts for nothing. */
export const markOf = ({
  verdict,
  underrun,
}: Pick<PassRecord, 'verdict' | 'underrun'>): MarkKind =>
  verdict === 'missed' && underrun ? 'uncounted' : verdict;
