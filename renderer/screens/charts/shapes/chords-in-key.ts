// The chords of a chart once each, with what sounds above the capo and their place in the key.
import type { ChartBody } from '../../../../app/core/model/chart.ts';
import { keyName, readKey, transposeKey } from '../../../../app/core/harmony/key.ts';
import { evenShift, tuningNotes } from '../../../../app/core/harmony/tunings.ts';
import { shownSymbol } from '../../../../app/core/harmony/note-names.ts';
import { romanNumeral, scaleNumber } from '../../../../app/core/harmony/numeral.ts';
import { readChord } from '../../../../app/core/harmony/read.ts';
import { transposeSymbol } from '../../../../app/core/harmony/transpose.ts';
import { liftOf } from '../../../../app/core/fretboard/capo.ts';

export interface ChordInKey {
  readonly symbol: string;
  /** Printed; empty for what cannot be read, as numeral and number are without a key. */
  readonly sounds: string;
  readonly numeral: string;
  readonly number: string;
}

const keyOfChart = ({ key }: ChartBody) => {
  const read = key === undefined ? undefined : readKey(key);
  return read?.ok ? read.value : undefined;
};

/** In the order in which they are written. N.C. is left out. */
export function chordsInKey(chart: ChartBody): readonly ChordInKey[] {
  const key = keyOfChart(chart);
  const bars = [
    ...chart.sections.flatMap((section) => section.bars),
    ...chart.form.flatMap((entry) => entry.ending?.bars ?? []),
  ];
  const symbols = bars.flatMap(({ content }) =>
    content.kind === 'chords' ? content.chords.map((chord) => chord.symbol) : [],
  );
  return [...new Set(symbols)].flatMap((symbol) => {
    const read = readChord(symbol);
    if (read.ok && read.value.kind === 'silence') return [];
    const sounds = transposeSymbol(symbol, liftOf(chart), key);
    const chord = read.ok && read.value.kind === 'chord' ? read.value : undefined;
    return {
      symbol,
      sounds: sounds.ok ? shownSymbol(sounds.value, chart.names) : '',
      numeral: chord && key ? romanNumeral(chord, key) : '',
      number: chord && key ? scaleNumber(chord, key) : '',
    };
  });
}

/** "a half step down"; by its notes where it has no name that says it. */
const tunedWords = ({ tuning, names }: ChartBody): string =>
  tuning.name.endsWith('down') ? `a ${tuning.name}` : tuningNotes(tuning, names);

/** "Fingered in D major. With the capo at fret 2 it sounds in E major." */
export function keyWords(chart: ChartBody): string {
  const key = keyOfChart(chart);
  const why = [
    ...(chart.capo > 0 ? [`the capo at fret ${chart.capo}`] : []),
    ...(evenShift(chart.tuning) === 0 ? [] : [`the strings tuned ${tunedWords(chart)}`]),
  ];
  if (!key) return chart.capo > 0 ? `Capo at fret ${chart.capo}.` : 'No key is typed.';
  if (why.length === 0) return `In ${keyName(key, chart.names)}, without a capo.`;
  const heard = keyName(transposeKey(key, liftOf(chart)), chart.names);
  return `Fingered in ${keyName(key, chart.names)}. With ${why.join(' and ')} it sounds in ${heard}.`;
}
