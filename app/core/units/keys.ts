// Unit keys: one line of text that points at a unit of a chart, for logs and addresses. A chart is not needed to read one.
import { type Result, fail, ok } from '../base/result.ts';
import { LEAD_REACHES, type LeadReach, type UnitKind, type UnitRef } from '../model/unit.ts';

/** How a kind of unit writes its place behind its name; names and chord symbols never hold a colon. */
interface Spelling<K extends UnitKind> {
  readonly print: (ref: UnitRef<K>) => string;
  /** What a place of the kind looks like. */
  readonly form: RegExp;
  /** The parts that `form` finds, as a pointer. */
  readonly read: (...parts: string[]) => Omit<UnitRef<K>, 'kind'>;
}

/** In the order in which a chart offers them. */
const spellings: { readonly [K in UnitKind]: Spelling<K> } = {
  section: {
    print: ({ section }) => section,
    form: /^([^:]+)$/,
    read: (section) => ({ section: section! }),
  },
  bars: {
    print: ({ section, from, to }) => `${section}:${from}-${to}`,
    form: /^([^:]+):(\d{1,6})-(\d{1,6})$/,
    read: (section, from, to) => ({ section: section!, from: +from!, to: +to! }),
  },
  lead: {
    print: ({ section, lead, part, reach }) => `${section}:${lead}:${part}:${reach}`,
    form: new RegExp(`^([^:]+):([^:]+):([^:]+):(${LEAD_REACHES.join('|')})$`),
    read: (section, lead, part, reach) => ({
      section: section!,
      lead: lead!,
      part: part!,
      reach: reach as LeadReach,
    }),
  },
  join: {
    print: ({ entry, before, after }) => `${entry}:${before}+${after}`,
    form: /^(\d{1,6}):(\d{1,6})\+(\d{1,6})$/,
    read: (entry, before, after) => ({ entry: +entry!, before: +before!, after: +after! }),
  },
  hardest: {
    print: ({ section }) => section,
    form: /^([^:]+)$/,
    read: (section) => ({ section: section! }),
  },
  pair: {
    print: ({ from, to }) => `${from}:${to}`,
    form: /^([^:]+):([^:]+)$/,
    read: (from, to) => ({ from: from!, to: to! }),
  },
  stretch: {
    print: ({ fromEntry, toEntry }) => `${fromEntry}-${toEntry}`,
    form: /^(\d{1,6})-(\d{1,6})$/,
    read: (from, to) => ({ fromEntry: +from!, toEntry: +to! }),
  },
  form: { print: () => '', form: /^$/, read: () => ({}) },
};

/** The kinds of unit in the order in which a chart offers them. */
export const UNIT_KINDS = Object.keys(spellings) as readonly UnitKind[];

const isUnitKind = (word: string): word is UnitKind => Object.hasOwn(spellings, word);

const spellingOf = <K extends UnitKind>(kind: K): Spelling<K> => spellings[kind];

/** "section:Verse", "bars:Verse:3-6", "form", "join:3:2+1", "pair:G:Bm", "stretch:0-4", "hardest:Verse", "lead:Verse:Hook:Guitar 1:alone". */
export function unitKey<K extends UnitKind>(ref: UnitRef<K>): string {
  const place = spellingOf<K>(ref.kind).print(ref);
  return place === '' ? ref.kind : `${ref.kind}:${place}`;
}

/** Fails with `unit-key` where the text is no key at all; whether the unit exists is for `resolveUnit`. */
export function parseUnitKey(key: string): Result<UnitRef> {
  const [word, place] = cut(key);
  const kind = todaysKind(word);
  const ref = isUnitKind(kind) ? readPlace(kind, place) : undefined;
  if (ref && unitKey(ref) === todaysKey(key)) return ok(ref);
  return fail({
    code: 'unit-key',
    message: `“${key.slice(0, 60)}” names no part of a chart`,
    cure: 'Choose it from the chart again.',
  });
}

function readPlace(kind: UnitKind, place: string): UnitRef | undefined {
  const { form, read } = spellingOf(kind);
  const found = form.exec(place);
  return found ? ({ kind, ...read(...found.slice(1)) } as UnitRef) : undefined;
}

/** The same key in today's words: logs and files of version 0.1 called some kinds otherwise. */
export function todaysKey(key: string): string {
  const [word, place] = cut(key);
  const kind = todaysKind(word);
  return kind === word ? key : `${kind}:${place}`;
}

/** What kinds were called until version 0.1: files and logs of that time still say so. */
const EARLIER_WORDS: ReadonlyMap<string, UnitKind> = new Map([
  ['seam', 'join'],
  ['line', 'lead'],
  ['tightest', 'hardest'],
]);

/** Today's word for a kind of unit; any other word stays. */
export const todaysKind = (word: string): string => EARLIER_WORDS.get(word) ?? word;

const cut = (key: string): readonly [kind: string, place: string] => {
  const colon = key.indexOf(':');
  return colon < 0 ? [key, ''] : [key.slice(0, colon), key.slice(colon + 1)];
};
