// Bass notes on strong beats against an independent reader of chord symbols: tonal 6.4.3, over random charts.
import fc from 'fast-check';
import { Chord, Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import { liftOf } from '../../app/core/fretboard/capo.ts';
import { bandOf } from '../../app/core/band/band.ts';
import { BASS_WORDS } from '../../app/core/model/band.ts';
import type { PlayedBar, Unit } from '../../app/core/model/unit.ts';
import { beatsOf } from '../../app/core/rhythm/meter.ts';
import { add, compare, type Rational, ZERO } from '../../app/core/base/rational.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { buildLap } from '../../app/core/timeline/lap.ts';
import { resolveUnit } from '../../app/core/units/resolve.ts';
import { runs } from '../support/runs.ts';
import { charts } from '../unit/chart/arbitrary.ts';
import { PLAIN } from '../unit/timeline/examples.ts';

const ascii = (symbol: string) => symbol.replace('♯', '#').replace('♭', 'b');
const read = new Map<string, ReadonlySet<number>>();

/** Pitch classes that tonal reads in a symbol, as fingered. */
function pitchClasses(symbol: string): ReadonlySet<number> {
  const known = read.get(symbol);
  if (known) return known;
  const [name, bass] = ascii(symbol).split('/');
  const notes = [...Chord.get(name!).notes, ...(bass ? [bass] : [])];
  const classes = new Set(notes.map((note) => Note.chroma(note)!));
  read.set(symbol, classes);
  return classes;
}

const CHARTS = runs(60, 20_000);
const keyOf = ({ n, d }: Rational): string => `${n}/${d}`;

/** Starts of bars, of groups of beats and of chords, from the start of the bar. */
function strongPlaces(bar: PlayedBar): readonly Rational[] {
  const stressed = bar.pickup
    ? [ZERO]
    : beatsOf(bar.meter)
        .filter((beat) => beat.stress !== 'beat')
        .map((beat) => beat.at);
  return [...stressed, ...bar.chords.map((chord) => chord.at)];
}

function symbolAt(unit: Unit, index: number, at: Rational): string | undefined {
  const inBar = unit.bars[index]!.chords.findLast((chord) => compare(chord.at, at) <= 0);
  const before = unit.bars.slice(0, index).findLast((bar) => bar.chords.length > 0);
  return (inBar?.chord ?? before?.chords.at(-1)?.chord ?? unit.bars[0]!.held)?.symbol;
}

describe('the bass of random charts', () => {
  it('is a chord tone on every strong beat', () => {
    let checked = 0;
    fc.assert(
      fc.property(
        charts,
        fc.integer({ min: 1, max: 9_999 }),
        fc.constantFrom(...BASS_WORDS),
        (chart, seed, bass) => {
          const plain = unwrap(resolveUnit({ ...chart, id: 'x' }, { kind: 'form' }));
          const bars = plain.bars.map((bar) => ({
            ...bar,
            feel: { kind: 'straight' } as const,
            band: { bass },
          }));
          const unit = { ...plain, bars };
          const lap = buildLap(unit, 90, { ...PLAIN, restBars: 1 });
          const notes = new Map(bandOf(unit, lap, { seed }).bass.map((n) => [keyOf(n.at), n.midi]));
          for (const lapBar of lap.bars) {
            if (lapBar.unitBar === undefined) continue;
            for (const at of strongPlaces(bars[lapBar.unitBar]!)) {
              const midi = notes.get(keyOf(add(lapBar.at, at)));
              if (midi === undefined) continue;
              const symbol = symbolAt(unit, lapBar.unitBar, at)!;
              const lift = liftOf(unit);
              const fingered = (midi - lift + 120) % 12;
              checked++;
              if (pitchClasses(symbol).has(fingered)) continue;
              throw new Error(
                `${midi} over ${symbol}, ${lift} semitones up, bar ${lapBar.unitBar}`,
              );
            }
          }
        },
      ),
      { numRuns: CHARTS },
    );
    expect(checked).toBeGreaterThan(10 * CHARTS);
  }, 3_600_000);
});
