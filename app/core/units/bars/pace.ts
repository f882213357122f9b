// The tempo inside a bar that slows down, speeds up or is held: stretches of constant tempo, a beat each.
import { type Rational, add, compare, equals, sub, toNumber, ZERO } from '../../base/rational.ts';
import type { WrittenBar } from '../../chart/form/written-bars.ts';
import type { Tempo } from '../../model/chart.ts';
import type { PaceStretch } from '../../model/unit.ts';
import { barLength, beatsOf } from '../../rhythm/meter.ts';

/** Where a gradual change goes to when nothing is said, relative to the tempo before (ours, no source). */
const USUAL_RATE = { slower: 3 / 4, faster: 4 / 3 } as const;

/**
 * Undefined where the bar keeps its tempo. A gradual change moves evenly over its length and reaches its
 * end in the last beat; within a beat the tempo stands, so that every click has one exact place. A held
 * beat lasts as much longer as the fermata says.
 */
export function paceOf(bar: WrittenBar, tempo: Tempo): readonly PaceStretch[] | undefined {
  if (!bar.gradual && !bar.fermata) return undefined;
  const stretches: PaceStretch[] = [];
  for (const beat of beatsFrom(bar)) {
    const held = bar.fermata && equals(bar.fermata.at, beat.at) ? 1 + bar.fermata.extra : 1;
    const rate = rateAt(bar, add(beat.at, beat.length), tempo) / held;
    if (stretches.at(-1)?.rate !== rate) stretches.push({ at: beat.at, rate });
  }
  return stretches.length === 1 && stretches[0]!.rate === 1 ? undefined : stretches;
}

function rateAt({ gradual }: WrittenBar, end: Rational, tempo: Tempo): number {
  if (!gradual) return 1;
  const { mark, done, total } = gradual;
  const goal = mark.to === undefined ? USUAL_RATE[mark.kind] : mark.to / tempo.bpm;
  return 1 + (goal - 1) * (toNumber(add(done, end)) / toNumber(total));
}

/** The bar's beats from its own start, cut where a fermata begins inside one: a pickup has the last ones. */
function beatsFrom(
  bar: WrittenBar,
): readonly { readonly at: Rational; readonly length: Rational }[] {
  const offset = bar.pickup ? sub(barLength(bar.meter), bar.length) : ZERO;
  const starts = [ZERO, ...beatsOf(bar.meter).map((beat) => sub(beat.at, offset))];
  const fermata = bar.fermata ? [bar.fermata.at] : [];
  const inside = [...starts, ...fermata].filter(
    (at) => compare(at, ZERO) >= 0 && compare(at, bar.length) < 0,
  );
  const moments = inside
    .toSorted(compare)
    .filter((at, i, all) => i === 0 || !equals(at, all[i - 1]!));
  return moments.map((at, i) => ({ at, length: sub(moments[i + 1] ?? bar.length, at) }));
}
