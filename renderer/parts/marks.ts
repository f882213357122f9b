// How a verdict is drawn: a shape each, so that colour never says it alone. Give words beside it.
import type { PassRecord, PassVerdict } from '../../app/core/model/pass.ts';

export type MarkKind = PassVerdict | 'uncounted';

/** A miss in which the sound failed is held against nobody, and looks like it. */
export const markOf = ({
  verdict,
  underrun,
}: Pick<PassRecord, 'verdict' | 'underrun'>): MarkKind =>
  verdict === 'missed' && underrun ? 'uncounted' : verdict;

const ring = (r: number): string =>
  `M${-r} 0a${r} ${r} 0 1 1 ${2 * r} 0a${r} ${r} 0 1 1 ${-2 * r} 0z`;
const cross = (r: number): string => `M${-r} ${-r}L${r} ${r}M${r} ${-r}L${-r} ${r}`;

/** A disc, a cross, a small ring, a cross in a ring: outlines around 0, 0 within a radius of 1. */
export const MARK_OUTLINES: Readonly<Record<MarkKind, string>> = {
  clean: ring(1),
  missed: cross(0.77),
  unjudged: ring(0.54),
  uncounted: ring(1) + cross(0.37),
};
