// Unit keys: one line of text that points at a unit of a chart, for logs and addresses.
import { type Result, fail, ok } from '../base/result.ts';
import type { LineReach, UnitRef } from '../model/unit.ts';

/** "section:Verse", "bars:Verse:3-6", "form", "seam:3:2+1", "pair:G:Bm", "stretch:0-4", "tightest:Verse", "line:Verse:Hook:Guitar 1:alone". */
export function unitKey(ref: UnitRef): string {
  switch (ref.kind) {
    case 'section':
      return `section:${ref.section}`;
    case 'bars':
      return `bars:${ref.section}:${ref.from}-${ref.to}`;
    case 'form':
      return 'form';
    case 'seam':
      return `seam:${ref.entry}:${ref.before}+${ref.after}`;
    case 'pair':
      return `pair:${ref.from}:${ref.to}`;
    case 'tightest':
      return `tightest:${ref.section}`;
    case 'line':
      return `line:${ref.section}:${ref.line}:${ref.part}:${ref.reach}`;
    case 'stretch':
      return `stretch:${ref.fromEntry}-${ref.toEntry}`;
  }
}

type Reader = (match: RegExpExecArray) => UnitRef;

/** Names and chord symbols never hold a colon, so a key has one reading. */
const FORMS: readonly (readonly [RegExp, Reader])[] = [
  [/^section:([^:]+)$/, ([, section]) => ({ kind: 'section', section: section! })],
  [
    /^bars:([^:]+):(\d{1,6})-(\d{1,6})$/,
    ([, section, from, to]) => ({ kind: 'bars', section: section!, from: +from!, to: +to! }),
  ],
  [/^form$/, () => ({ kind: 'form' })],
  [
    /^seam:(\d{1,6}):(\d{1,6})\+(\d{1,6})$/,
    ([, entry, before, after]) => ({
      kind: 'seam',
      entry: +entry!,
      before: +before!,
      after: +after!,
    }),
  ],
  [/^pair:([^:]+):([^:]+)$/, ([, from, to]) => ({ kind: 'pair', from: from!, to: to! })],
  [/^tightest:([^:]+)$/, ([, section]) => ({ kind: 'tightest', section: section! })],
  [
    /^line:([^:]+):([^:]+):([^:]+):(alone|neighbours|section)$/,
    ([, section, line, part, reach]) => ({
      kind: 'line',
      section: section!,
      line: line!,
      part: part!,
      reach: reach as LineReach,
    }),
  ],
  [
    /^stretch:(\d{1,6})-(\d{1,6})$/,
    ([, fromEntry, toEntry]) => ({ kind: 'stretch', fromEntry: +fromEntry!, toEntry: +toEntry! }),
  ],
];

/** Fails with `unit-key` where the text is no key at all; whether the unit exists is for `resolveUnit`. */
export function parseUnitKey(key: string): Result<UnitRef> {
  for (const [form, read] of FORMS) {
    const match = form.exec(key);
    if (match) return ok(read(match));
  }
  return fail({
    code: 'unit-key',
    message: `“${key.slice(0, 60)}” does not point at a unit`,
    cure: 'Choose the unit from the chart again.',
  });
}
