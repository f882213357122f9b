// What a sheet says of the whole song: fields of its own lines, and facts beside names and in lines above it.
import { type FieldValues, factsIn } from './fields.ts';
import type { Line } from './line.ts';
import {
  bareTop,
  besides,
  factsBeside,
  partedTitle,
  roughTempo,
  withoutFacts,
  writerIn,
} from './top.ts';

/** What a line tells of the whole song. */
const LEARNT = [
  'capo',
  'tempo',
  'counted',
  'meter',
  'feel',
  'tuning',
  'strings',
  'strum',
  'key',
] as const;

/** A line above the song, and in words for people what was taken from it. */
interface LineAbove {
  readonly line: Line;
  readonly learnt: string;
}

export interface Top {
  readonly title?: string;
  readonly by?: string;
  /** Lines above the song that are neither. */
  readonly others: readonly LineAbove[];
}

export class HeadFacts {
  readonly fields: FieldValues = {};
  readonly #above: LineAbove[] = [];

  /** A line that says nothing but this. */
  set(field: Readonly<FieldValues>): void {
    Object.assign(this.fields, field);
  }

  /**
   * Takes what a line that says other things, too, tells of the whole song, where no line of its own does.
   * @returns in words for people what was taken
   */
  learn(facts: FieldValues): string {
    const fresh = LEARNT.filter(
      (name) => facts[name] !== undefined && this.fields[name] === undefined,
    );
    for (const name of fresh) Object.assign(this.fields, { [name]: facts[name] });
    const told = fresh.filter((name) => name !== 'counted' && name !== 'strings');
    return told.length > 0 ? `, but for its ${told.join(', ')}` : '';
  }

  /** Of the first line above the song, which may be the title, only what stands beside it is learnt. */
  addAbove(line: Line, learn: (facts: FieldValues) => string): void {
    const facts =
      this.#above.length === 0
        ? factsBeside(line.text)
        : { tempo: roughTempo(line.text), ...factsIn(line.text).found };
    this.#above.push({ line, learnt: learn(facts) });
  }

  /** The title, perhaps with a name after a dash or on the next line. */
  top(): Top {
    const { title, by } = this.fields;
    const above = this.#above.map(({ line }) => bareTop(line.text));
    const [name = '', second = ''] = title ? [title, ...above] : above;
    const { left, right } = partedTitle(withoutFacts(name) || name);
    const under = writerIn(second);
    const used = (title ? 0 : 1) + (under !== undefined && !by && !right ? 1 : 0);
    const writer = by ?? right ?? under;
    return {
      ...(left && { title: left }),
      ...(writer && { by: writer }),
      others: this.#above.slice(used),
    };
  }
}

/** "Verse (capo 4)": of what stands beside a section's name only this holds for the song. */
export function aboutGuitar(heading: string): FieldValues {
  const { capo, tuning } = factsIn(besides(heading).join('; ')).found;
  return { ...(capo !== undefined && { capo }), ...(tuning !== undefined && { tuning }) };
}
