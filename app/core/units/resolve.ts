// Units: everything in a chart that can be practised, resolved to the plain bars that are played.
import { type Result, ok } from '../base/result.ts';
import type { Chart, ChartBody } from '../model/chart.ts';
import type { Unit, UnitKind, UnitRef } from '../model/unit.ts';
import { UNIT_KINDS, unitKey } from './keys.ts';
import { kindOf } from './kinds.ts';
import { unitOf } from './bars/unit-of.ts';

/** Fails when the chart has no such place; the problem says what is missing and what to do. */
export function resolveUnit<K extends UnitKind>(
  chart: Chart | ChartBody,
  ref: UnitRef<K>,
): Result<Unit> {
  const content = kindOf<K>(ref.kind).resolve(chart, ref);
  return content.ok ? ok(unitOf(chart, ref as UnitRef, unitKey(ref), content.value)) : content;
}

/** Has a chart any unit of this kind by itself? No more of them is resolved than it takes to know. */
export const offersKind = <K extends UnitKind>(chart: Chart | ChartBody, kind: K): boolean =>
  kindOf(kind)
    .list(chart)
    .some((ref) => kindOf(kind).resolve(chart, ref).ok);

/** The first one that {@link listUnits} has; undefined where a chart offers none. */
export function firstUnit(chart: Chart | ChartBody): Unit | undefined {
  for (const kind of UNIT_KINDS) {
    for (const ref of kindOf(kind).list(chart)) {
      const unit = resolveUnit(chart, ref);
      if (unit.ok) return unit.value;
    }
  }
  return undefined;
}

/**
 * Every unit a chart offers by itself, or those of one kind; equal joins are listed once. Units that
 * don't resolve are left out. All of a song cost many times what one kind of them does, so ask for no more than needed.
 */
export function listUnits(chart: Chart | ChartBody, kind?: UnitKind): readonly Unit[] {
  const refs = (kind ? [kind] : UNIT_KINDS).flatMap((one): readonly UnitRef[] =>
    kindOf(one).list(chart),
  );
  const units = refs.map((ref) => resolveUnit(chart, ref)).flatMap((r) => (r.ok ? [r.value] : []));
  const seen = new Set<string>();
  return units.filter((unit) => {
    if (unit.ref.kind !== 'join') return true;
    const isNew = !seen.has(unit.fingerprint);
    seen.add(unit.fingerprint);
    return isNew;
  });
}
