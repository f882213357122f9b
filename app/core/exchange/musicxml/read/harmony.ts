// Reads the chords of a part as they sound: written steps and transposing parts need the key that is in force.
import type { Frets } from '../../../model/chart.ts';
import { checkSymbol, SILENCE } from '../../../chart/rules/head.ts';
import { type Key, readKey, transposeKey } from '../../../harmony/key.ts';
import { toAscii } from '../../../harmony/notes.ts';
import { transposeSymbol } from '../../../harmony/transpose.ts';
import { symbolOf } from '../chord-kinds.ts';
import { shapeOf } from '../frames.ts';
import { capoOf, keyNameOf } from '../head-read.ts';
import { type XmlNode, childAt, childrenOf, numberAt } from '../xml-read.ts';

export type Warn = (code: string, message: string, cure: string) => void;

export interface ReadChord {
  readonly symbol: string;
  /** Pinned where it stands. */
  readonly shape?: Frets;
}

export class HarmonyReader {
  /** Shapes for the whole chart. */
  readonly shapes = new Map<string, Frets>();
  /** The first that is named, as it sounds. */
  key?: string;
  capo = 0;
  /** As the file prints its roots: "H" for B, "Fis" for F sharp. */
  names?: 'german';
  private written?: Key;
  private semitones = 0;
  private readonly warn: Warn;

  constructor(warn: Warn) {
    this.warn = warn;
  }

  readAttributes(node: XmlNode): void {
    for (const details of childrenOf(node, 'staff-details'))
      this.capo = capoOf(details) ?? this.capo;
    const transpose = childAt(node, 'transpose');
    if (transpose) this.readTranspose(transpose);
    const name = keyNameOf(childAt(node, 'key'));
    const key = name === undefined ? undefined : readKey(name);
    if (!key?.ok) return;
    this.written = key.value;
    this.key ??= this.semitones === 0 ? name : soundingKey(key.value, this.semitones);
  }

  /** Octaves do not matter to chords, and a capo's shift is in the names already. */
  private readTranspose(node: XmlNode): void {
    const chromatic = Math.round(numberAt(node, 'chromatic') ?? 0) % 12;
    const up = (chromatic + 12) % 12;
    this.semitones = up === this.capo % 12 ? 0 : chromatic;
    if (this.semitones === 0) return;
    const way = chromatic < 0 ? 'lower' : 'higher';
    const by = `${Math.abs(chromatic)} semitone${Math.abs(chromatic) === 1 ? '' : 's'}`;
    const message = `the part is written for an instrument that sounds ${by} ${way}: its chords and key are taken as they sound`;
    this.warn(
      'musicxml-transpose',
      message,
      'Check the key; set a capo if the written chords are to be played.',
    );
  }

  /** Undefined, with a warning, for a chord that no chart can hold. */
  read(node: XmlNode, place: string): ReadChord | undefined {
    if (isGerman(node)) this.names = 'german';
    const read = symbolOf(node, this.written);
    if (!read || !checkSymbol(read.symbol).ok) {
      this.warn(
        'musicxml-chord',
        `${place} has a chord that cannot be read`,
        'Type it into the chart.',
      );
      return undefined;
    }
    const moved =
      this.semitones === 0 ? undefined : transposeSymbol(read.symbol, this.semitones, this.written);
    const symbol = moved?.ok ? moved.value : read.symbol;
    if (!read.exact) {
      const message = `${place}: a chord is read as ${symbol}, though the file says more`;
      this.warn('musicxml-chord-part', message, 'Check that chord.');
    }
    const shape = symbol === SILENCE ? undefined : this.readShape(node, symbol, place);
    const forAll = shape && node.attributes['print-frame'] === 'no';
    if (forAll) this.shapes.set(symbol, shape);
    return { symbol, ...(shape && !forAll && { shape }) };
  }

  private readShape(node: XmlNode, symbol: string, place: string): Frets | undefined {
    const read = shapeOf(node);
    if (!read) return undefined;
    const why = read.ok
      ? 'It shows the chord as it is written, not as it sounds.'
      : read.problems[0]!.message;
    if (read.ok && this.semitones === 0) return read.value;
    const message = `${place}: the diagram of ${symbol} is left out. ${why}`;
    this.warn('musicxml-frame', message, 'Pin a shape in the chart instead.');
    return undefined;
  }
}

/** Is a root or bass printed by a German name that another note has, or none, internationally? */
const isGerman = (harmony: XmlNode): boolean =>
  (['root', 'bass'] as const).some((part) => {
    const printed = childAt(childAt(harmony, part), `${part}-step`)?.attributes.text;
    return printed !== undefined && /^(?:H|[A-H](?:is|es)|[EA]s)/u.test(printed);
  });

function soundingKey(key: Key, semitones: number): string {
  const { tonic, mode } = transposeKey(key, semitones);
  return mode === 'major' ? toAscii(tonic) : `${toAscii(tonic)} ${mode}`;
}
