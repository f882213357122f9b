// Unit keys: one line of text that points at a unit of a chart, for logs and addresses.
import { type Result, fail, ok } from '../base/result.ts';
import type { UnitKind, UnitRef } from '../model/unit.ts';
import { isUnitKind, kindOf, todaysKind } from './kinds.ts';

/** "section:Verse", "bars:Verse:3-6", "form", "join:3:2+1", "pair:G:Bm", "stretch:0-4", "hardest:Verse", "lead:Verse:Hook:Guitar 1:alone". */
export function unitKey<K extends UnitKind>(ref: UnitRef<K>): string {
  const place = kindOf<K>(ref.kind).print(ref);
  return place === '' ? ref.kind : `${ref.kind}:${place}`;
}

/** Fails with `unit-key` where the text is no key at all; whether the unit exists is for `resolveUnit`. */
export function parseUnitKey(key: string): Result<UnitRef> {
  const [word, place] = cut(key);
  const kind = todaysKind(word);
  const ref = isUnitKind(kind) ? kindOf(kind).read(place) : undefined;
  if (ref && unitKey(ref) === todaysKey(key)) return ok(ref);
  return fail({
    code: 'unit-key',
    message: `“${key.slice(0, 60)}” names no part of a chart`,
    cure: 'Choose it from the chart again.',
  });
}

/** The same key in today's words: logs and files of version 0.1 called some kinds otherwise. */
export function todaysKey(key: string): string {
  const [word, place] = cut(key);
  const kind = todaysKind(word);
  return kind === word ? key : `${kind}:${place}`;
}

const cut = (key: string): readonly [kind: string, place: string] => {
  const colon = key.indexOf(':');
  return colon < 0 ? [key, ''] : [key.slice(0, colon), key.slice(colon + 1)];
};
