// Chords at hand while typing: those of the key, then what else the chart uses.
import { readKey } from '../../../../app/core/harmony/key.ts';
import { transposeSymbol } from '../../../../app/core/harmony/transpose.ts';
import type { ChartBody } from '../../../../app/core/model/chart.ts';

export interface PaletteChord {
  readonly symbol: string;
  /** Its place in the key, or that the chart uses it. */
  readonly why: string;
}

/** Semitones above the tonic, quality and numeral of the chords of a key (common practice, no source). */
const MAJOR: readonly (readonly [semitones: number, quality: string, numeral: string])[] = [
  [0, '', 'I'],
  [2, 'm', 'ii'],
  [4, 'm', 'iii'],
  [5, '', 'IV'],
  [7, '', 'V'],
  [9, 'm', 'vi'],
  [11, 'dim', 'vii°'],
  [7, '7', 'V7'],
];
const MINOR: typeof MAJOR = [
  [0, 'm', 'i'],
  [3, '', 'III'],
  [5, 'm', 'iv'],
  [7, 'm', 'v'],
  [8, '', 'VI'],
  [10, '', 'VII'],
  [7, '7', 'V7'],
];

/** The chords of the chart and of its key, each once. */
export function paletteOf(chart: ChartBody): readonly PaletteChord[] {
  const used = usedIn(chart);
  const key = readKey(chart.key ?? used[0]?.replace(/[^A-G#b♯♭m].*$/u, '') ?? 'C');
  const inKey = !key.ok
    ? []
    : (key.value.mode === 'minor' ? MINOR : MAJOR).flatMap(([semitones, quality, why]) => {
        const moved = transposeSymbol(`${key.value.tonic}${quality}`, semitones, key.value);
        return moved.ok ? [{ symbol: moved.value, why }] : [];
      });
  const known = new Set(inKey.map(({ symbol }) => symbol));
  return [
    ...inKey,
    ...used.filter((s) => !known.has(s)).map((symbol) => ({ symbol, why: 'used here' })),
  ];
}

function usedIn({ sections }: ChartBody): string[] {
  const symbols = sections.flatMap(({ bars }) =>
    bars.flatMap(({ content }) =>
      content.kind === 'chords' ? content.chords.map((c) => c.symbol) : [],
    ),
  );
  return [...new Set(symbols)].filter((symbol) => symbol !== 'N.C.');
}
