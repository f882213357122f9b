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

/**
 * Every unit a chart offers by itself, or those of one kind; equal joins are listed once. Units that
 * don't resolve are left out. The hardest changes cost a search for shapes, so ask for no more than needed.
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
