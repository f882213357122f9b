// A name for what is played: equal music gives equal fingerprints, whatever it is called and wherever it stands.
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { toAscii } from '../../harmony/notes.ts';
import { type Rational, toNumber } from '../../base/rational.ts';
import { beatUnitLength } from '../../rhythm/meter.ts';
import type { ChordAt, Tempo } from '../../model/chart.ts';
import { printFrets } from '../../fretboard/frets.ts';
import { printStrum } from '../../rhythm/strum.ts';
import { printPart } from '../../lead/notation.ts';
import type { LoggedBar, PlayedBar, Unit } from '../../model/unit.ts';
import { loggedBar } from './logged-bars.ts';

/** Hexadecimal digits kept of the SHA-256: 128 bits, so that two units never meet by chance. */
const DIGITS = 32;

/**
 * Covers meter, length, feel, strum, chords with their moments and pinned shapes, and how the bars'
 * tempos relate to the first one's. Not the tempo itself: a new target does not make a new unit.
 */
export function fingerprint(bars: readonly PlayedBar[], lead?: Unit['lead']): string {
  const content = bars
    .map(loggedBar)
    .map((bar) => barContent(bar, bars[0]!.tempo) + leadContent(bar, lead));
  return hashText(content.join('\n'));
}

/** A lead line counts only where it is what is climbed: writing one changes no history of the chords. */
function leadContent(bar: LoggedBar, lead: Unit['lead']): string {
  const played = bar.leads?.find((one) => one.lead === lead?.lead && one.part === lead.part);
  return played ? ` ${printPart([played.bar])}` : '';
}

/** The first digits of SHA-256 (FIPS 180-4) over UTF-8, in hexadecimal. */
const hashText = (text: string): string => bytesToHex(sha256(utf8ToBytes(text))).slice(0, DIGITS);

/** One bar's musical content as a line of text; two bars are the same when these are equal. */
export function barContent(bar: LoggedBar, firstTempo: Tempo = bar.tempo): string {
  const { meter, feel } = bar;
  return [
    `${meter.numerator}/${meter.unit}:${meter.grouping.join('+')}`,
    `${bar.pickup ? 'pickup ' : ''}${printRational(bar.length)}`,
    feel.kind === 'straight' ? 'straight' : `swing${feel.value}:${feel.long}:${feel.short}`,
    tempoRatio(bar.tempo, firstTempo),
    bar.strum ? printStrum(bar.strum) : '',
    toAscii(bar.held ?? ''),
    ...bar.chords.map(printChordAt),
    ...(bar.pace ?? []).map(({ at, rate }) => `pace ${printRational(at)} ${rate.toPrecision(6)}`),
  ].join('|');
}

const printRational = ({ n, d }: Rational): string => `${n}/${d}`;

const printChordAt = ({ at, symbol, shape, slide }: ChordAt): string =>
  `${printRational(at)} ${slide ? '~' : ''}${toAscii(symbol)}${shape ? `[${printFrets(shape)}]` : ''}`;

/** Quarter notes per minute relative to the first bar's, to six figures. */
function tempoRatio(tempo: Tempo, first: Tempo): string {
  const quarters = ({ bpm, beat }: Tempo): number => toNumber(beatUnitLength(beat)) * bpm;
  return (quarters(tempo) / quarters(first)).toPrecision(6);
}
