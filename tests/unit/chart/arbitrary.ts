// Arbitrary charts for property tests: any meter, feel, pickup, repeat, ending, pin, strum and form that holds.
import fc from 'fast-check';
import { checkChart } from '../../../app/core/chart/check.ts';
import { barLength, beatsOf, defaultGrouping } from '../../../app/core/rhythm/meter.ts';
import { BEAT_UNITS } from '../../../app/core/base/units.ts';
import type {
  AlteredEnding,
  Bar,
  BarWords,
  Borrowed,
  ChartBody,
  ChordAt,
  Feel,
  FormEntry,
  Frets,
  Meter,
  PaceMark,
  Section,
  StrumCell,
  StrumPattern,
  Tempo,
  Tuning,
} from '../../../app/core/model/chart.ts';
import {
  BAND_LEVELS,
  BASS_WORDS,
  type BandWords,
  DRUMS_WORDS,
} from '../../../app/core/model/band.ts';
import { borrowedBars, borrowedHead } from '../../../app/core/chart/form/borrowed.ts';
import { slotsOf } from '../../../app/core/rhythm/slots.ts';
import { STANDARD, TUNINGS } from '../../../app/core/harmony/tunings.ts';
import { add, compare, mul, rational, toNumber } from '../../../app/core/base/rational.ts';
import { comments, freeFields, headComments, remarks } from './arbitrary-texts.ts';

const SYMBOLS = ['G', 'Bm', 'C/G', 'F♯m7', 'Bb', 'D7♯9', 'Cmaj7', 'Am7', 'Esus4', 'Gm6', 'N.C.'];

const word = fc.stringMatching(/^[A-Z][a-z]{1,7}$/);
const tempos: fc.Arbitrary<Tempo> = fc.record({
  bpm: fc.integer({ min: 2000, max: 40000 }).map((hundredths) => hundredths / 100),
  beat: fc.constantFrom(...BEAT_UNITS),
});

const regroupings = (numerator: number): fc.Arbitrary<readonly number[]> =>
  fc
    .array(fc.integer({ min: 1, max: 4 }), { minLength: numerator, maxLength: numerator })
    .map((parts) => {
      const groups: number[] = [];
      let left = numerator;
      for (const part of parts) {
        if (left > 0) groups.push(Math.min(part, left));
        left -= part;
      }
      return groups;
    });

export const meters = (units: readonly Meter['unit'][] = [2, 4, 8, 16]): fc.Arbitrary<Meter> =>
  fc
    .record({ numerator: fc.integer({ min: 1, max: 15 }), unit: fc.constantFrom(...units) })
    .chain(({ numerator, unit }) =>
      fc
        .oneof(fc.constant(defaultGrouping(numerator, unit)), regroupings(numerator))
        .map((grouping) => ({ numerator, unit, grouping })),
    );

const bands: fc.Arbitrary<BandWords> = fc
  .record(
    {
      drums: fc.constantFrom(...DRUMS_WORDS),
      bass: fc.constantFrom(...BASS_WORDS),
      level: fc.constantFrom(...BAND_LEVELS),
    },
    { requiredKeys: [] },
  )
  .filter((words) => Object.keys(words).length > 0);

const feels: fc.Arbitrary<Feel> = fc.oneof(
  fc.constant<Feel>({ kind: 'straight' }),
  fc
    .record({
      kind: fc.constant('swing' as const),
      value: fc.constantFrom(8 as const, 16 as const),
      long: fc.integer({ min: 2, max: 5 }),
    })
    .map((swing) => ({ ...swing, short: swing.long - 1 })),
);

/** Meters that a feel can swing: eighths need quarters to pair in. */
const metersFor = (feel: Feel): fc.Arbitrary<Meter> =>
  feel.kind === 'straight' ? meters() : meters(feel.value === 8 ? [2, 4] : [2, 4, 8]);

export const fretShapes: fc.Arbitrary<Frets> = fc
  .array(fc.option(fc.integer({ min: 0, max: 24 })), { minLength: 6, maxLength: 6 })
  .filter((frets) => frets.some((fret) => fret !== null));

const tunings: fc.Arbitrary<Tuning> = fc.oneof(
  fc.constant(STANDARD),
  fc.constantFrom(...TUNINGS),
  fc.record({
    name: word,
    strings: fc.array(fc.integer({ min: 36, max: 70 }), { minLength: 6, maxLength: 6 }),
  }),
);

const cells: fc.Arbitrary<StrumCell> = fc.oneof(
  fc.record({
    kind: fc.constant('stroke' as const),
    direction: fc.constantFrom('down' as const, 'up' as const),
    accent: fc.boolean(),
    muted: fc.boolean(),
  }),
  fc.record({
    kind: fc.constant('stroke' as const),
    direction: fc.constantFrom('down' as const, 'up' as const),
    accent: fc.boolean(),
    muted: fc.constant(false),
    touch: fc.constantFrom('short' as const, 'damped' as const),
  }),
  fc.constant<StrumCell>({ kind: 'ring' }),
  fc.constant<StrumCell>({ kind: 'rest' }),
);

export const strums: fc.Arbitrary<StrumPattern> = fc
  .record({
    grid: fc.constantFrom(2 as const, 3 as const, 4 as const),
    quarters: fc.integer({ min: 1, max: 6 }),
  })
  .chain(({ grid, quarters }) =>
    fc
      .array(cells, { minLength: grid * quarters, maxLength: grid * quarters })
      .map((list) => ({ grid, cells: list })),
  )
  .filter((strum) => strum.cells.some((cell) => cell.kind === 'stroke'));

/** Patterns that fill a bar of the meter once or several times, or two bars; rare meters have none. */
const strumsFor = (meter: Meter): fc.Arbitrary<StrumPattern | undefined> => {
  const lengths = ([2, 3, 4] as const).flatMap((grid) => strumCounts(meter, grid));
  if (lengths.length === 0) return fc.constant(undefined);
  return fc
    .constantFrom(...lengths)
    .chain(({ grid, count }) =>
      fc
        .array(cells, { minLength: count, maxLength: count })
        .map((list) => ({ grid, cells: list })),
    )
    .filter((strum) => strum.cells.some((cell) => cell.kind === 'stroke'));
};

/** How many cells of a grid fit the meter: those of two bars, of one, or of a part of one that lasts a beat or more. */
function strumCounts(meter: Meter, grid: StrumPattern['grid']) {
  const whole = toNumber(barLength(meter)) * grid;
  const beat = toNumber(beatsOf(meter)[0]!.length) * grid;
  const parts = [2, 3, 4].map((times) => whole / times).filter((count) => count >= beat);
  return [whole, whole, 2 * whole, ...parts]
    .filter((count) => Number.isInteger(whole) && Number.isInteger(count) && count <= 96)
    .map((count) => ({ grid, count }));
}

/** Words of one bar: some syllables on a beat or on an equal part of one. */
const wordsIn = (meter: Meter, pickup: Bar['pickup']): fc.Arbitrary<BarWords> => {
  const slots = slotsOf(meter, pickup);
  const place = fc
    .record({
      slot: fc.constantFrom(...slots),
      parts: fc.constantFrom(1, 1, 2, 3, 4),
      part: fc.nat(3),
    })
    .map(({ slot, parts, part }) => add(slot.at, mul(slot.length, rational(part % parts, parts))));
  const syllable = fc.record({
    text: fc.constantFrom(
      'har',
      'bour',
      'lights',
      '(ooh)',
      'twenty-',
      'O’',
      'x-ray',
      '@',
      'é,',
      '/',
    ),
    joined: fc.boolean(),
    at: fc.option(place, { freq: 3 }),
  });
  return fc.array(syllable, { maxLength: 6 }).map((list) => {
    let last = rational(-1);
    return list.map(({ text, joined, at }) => {
      const rises = at && compare(at, last) > 0;
      if (rises) last = at;
      return { text, ...(joined && { joined: true as const }), ...(rises && { at }) };
    });
  });
};

/** Up to three verses, the last of them not empty. */
const versesIn = (meter: Meter, pickup: Bar['pickup']): fc.Arbitrary<readonly BarWords[]> =>
  fc
    .array(wordsIn(meter, pickup), { maxLength: 3 })
    .map((verses) => verses.slice(0, verses.findLastIndex((words) => words.length > 0) + 1));

const paces: fc.Arbitrary<PaceMark> = fc.oneof(
  fc.constant<PaceMark>({ kind: 'a-tempo' }),
  fc
    .record({
      kind: fc.constantFrom('slower' as const, 'faster' as const),
      to: fc.option(fc.integer({ min: 80, max: 1600 }).map((quarters) => quarters / 4)),
    })
    .map(({ kind, to }): PaceMark => ({ kind, ...(to !== null && { to }) })),
);

/** Chords on beats and on equal parts of them, at most one in each part. */
function chordsIn(meter: Meter, pickup: Bar['pickup']): fc.Arbitrary<readonly ChordAt[]> {
  const slots = slotsOf(meter, pickup);
  const place = fc
    .record({
      slot: fc.constantFrom(...slots),
      parts: fc.constantFrom(1, 1, 1, 2, 3, 4, 6),
      part: fc.nat(5),
    })
    .map(({ slot, parts, part }) => add(slot.at, mul(slot.length, rational(part % parts, parts))));
  const chord = fc
    .record({
      symbol: fc.constantFrom(...SYMBOLS),
      shape: fc.option(fretShapes, { freq: 4 }),
      slide: fc.integer({ min: 0, max: 5 }),
      remark: fc.option(remarks, { freq: 5 }),
    })
    .map(({ symbol, shape, slide, remark }) => ({
      symbol,
      ...(shape && symbol !== 'N.C.' && { shape }),
      ...(slide === 0 && { slide: true as const }),
      ...(remark !== null && { remark }),
    }));
  return fc
    .uniqueArray(fc.tuple(place, chord), { maxLength: 5, selector: ([at]) => `${at.n}/${at.d}` })
    .map((list) => list.map(([at, c]) => ({ at, ...c })).toSorted((a, b) => compare(a.at, b.at)));
}

const pickups = (meter: Meter): fc.Arbitrary<Bar['pickup']> => {
  const sixteenths = (barLength(meter).n * 4) / barLength(meter).d;
  return sixteenths < 2
    ? fc.constant(undefined)
    : fc.integer({ min: 1, max: sixteenths - 1 }).map((count) => rational(count, 4));
};

interface BarPlan {
  readonly meter: Meter;
  readonly changesMeter?: boolean;
  readonly pickup?: Bar['pickup'];
  readonly mayBeSimile: boolean;
  /** May it stand on a line of its own, under comments? */
  readonly ownLine?: boolean;
}

const barFor = ({
  meter,
  changesMeter,
  pickup,
  mayBeSimile,
  ownLine,
}: BarPlan): fc.Arbitrary<Bar> =>
  fc
    .record({
      chords: chordsIn(meter, pickup),
      strum: pickup
        ? fc.constant(undefined)
        : fc.option(strumsFor(meter), { freq: 6, nil: undefined }),
      simile: fc.integer({ min: 0, max: 4 }),
      pace: fc.option(paces, { freq: 8 }),
      held: fc.option(
        fc.record({
          beat: fc.constantFrom(...slotsOf(meter, pickup)),
          extra: fc.integer({ min: 1, max: 4 }),
        }),
        { freq: 8 },
      ),
      words: versesIn(meter, pickup),
      remark: fc.option(remarks, { freq: 6 }),
      notes: ownLine ? fc.option(comments, { freq: 8 }) : fc.constant(null),
    })
    .map(({ chords, strum, simile, pace, held, words, remark, notes }): Bar => ({
      content: simile === 0 && mayBeSimile ? { kind: 'simile' } : { kind: 'chords', chords },
      ...(changesMeter && { meter }),
      ...(pickup && { pickup }),
      ...(strum && { strum }),
      ...(pace && { pace }),
      ...(held && {
        fermata: {
          at: simile === 0 && mayBeSimile ? slotsOf(meter, pickup).at(-1)!.at : held.beat.at,
          extra: held.extra,
        },
      }),
      ...(words.length > 0 && { words }),
      ...(remark !== null && { remark }),
      ...(notes && { comments: notes }),
    }));

type Signs = 'none' | 'repeat' | 'endings';

/** Signs over plain bars: a repeat from bar 2, or endings at bars 3 and 4. */
function withSigns(bars: readonly Bar[], signs: Signs, times: number): Bar[] {
  const last = times - 1;
  return bars.map((bar, i) => {
    if (signs === 'repeat' && i === 1) return { ...bar, repeatStart: true };
    if (signs === 'repeat' && i === 4) return { ...bar, repeatEnd: times };
    if (signs === 'endings' && i === 2) {
      return { ...bar, endings: Array.from({ length: last }, (_, t) => t + 1), repeatEnd: times };
    }
    return signs === 'endings' && i === 3 ? { ...bar, endings: [times] } : bar;
  });
}

interface SectionPlan {
  readonly meter: Meter;
  readonly later: Meter;
  readonly pickup?: Bar['pickup'];
  readonly signs: Signs;
}

const planFor = (feel: Feel): fc.Arbitrary<SectionPlan> =>
  metersFor(feel).chain((meter) =>
    fc.record({
      meter: fc.constant(meter),
      later: metersFor(feel),
      pickup: fc.oneof(fc.constant(undefined), pickups(meter)),
      signs: fc.constantFrom<Signs>('none', 'repeat', 'endings'),
    }),
  );

/** Eight bars; the meter may change at the seventh. */
const barsOf = ({ meter, later, pickup, signs }: SectionPlan): fc.Arbitrary<Bar[]> =>
  fc
    .tuple(
      fc.integer({ min: 2, max: 4 }),
      ...Array.from({ length: 8 }, (_, i) =>
        barFor({
          meter: i < 6 ? meter : later,
          changesMeter: i === 6,
          ownLine: true,
          pickup: i === 0 ? pickup : undefined,
          mayBeSimile:
            i > 0 && i !== 6 && !(i === 1 && pickup) && !(signs === 'endings' && i === 3),
        }),
      ),
    )
    .map(([times, ...bars]) => withSigns(bars, signs, times));

const sectionsNamed = (name: string, chartFeel: Feel): fc.Arbitrary<Section> =>
  fc.option(feels).chain((feel) =>
    planFor(feel ?? chartFeel).chain((plan) =>
      fc
        .record({
          bars: barsOf(plan),
          tempo: fc.option(tempos),
          strum: fc.option(strumsFor(plan.meter), { nil: undefined }),
          said: fc.option(fc.array(remarks, { minLength: 1, maxLength: 2 }), { freq: 3 }),
          notes: fc.option(comments, { freq: 4 }),
          band: fc.option(bands, { freq: 3 }),
        })
        .map(({ bars, tempo, strum, said, notes, band }) => ({
          name,
          ...(tempo && { tempo }),
          meter: plan.meter,
          ...(feel && { feel }),
          ...(strum && { strum }),
          ...(band && { band }),
          bars,
          ...(said && { remarks: said }),
          ...(notes && { comments: notes }),
        })),
    ),
  );

/** Two bars that replace or follow a section's last ones, in the meter that holds there. */
const endingsOf = (section: Section): fc.Arbitrary<AlteredEnding> => {
  const meter = section.bars[6]!.meter!;
  return fc.record({
    kind: fc.constantFrom('replace' as const, 'add' as const),
    bars: fc.tuple(barFor({ meter, mayBeSimile: false }), barFor({ meter, mayBeSimile: true })),
  });
};

const entriesOf = (sections: readonly Section[]): fc.Arbitrary<FormEntry> =>
  fc.constantFrom(...sections).chain((section) =>
    fc
      .record({
        times: fc.integer({ min: 1, max: 3 }),
        ending: fc.option(endingsOf(section)),
        notes: fc.option(comments, { freq: 4 }),
      })
      .map(({ times, ending, notes }) => ({
        section: section.name,
        times,
        ...(ending && { ending }),
        ...(notes && { comments: notes }),
      })),
  );

const shapes = fc.uniqueArray(
  fc.record({ symbol: fc.constantFrom('G', 'Bm', 'C/G', 'F♯m7'), frets: fretShapes }),
  { maxLength: 3, selector: (shape) => shape.symbol },
);

type Borrowing = (sections: readonly Section[], meter: Meter) => readonly Section[];

/** Sometimes one more section that takes the bars of the first one, changes some and adds some. */
const borrowing: fc.Arbitrary<Borrowing> = fc
  .record({
    take: fc.boolean(),
    changed: fc.uniqueArray(fc.nat(7), { maxLength: 3 }),
    added: fc.boolean(),
    verse: fc.boolean(),
  })
  .map(({ take, changed, added, verse }): Borrowing => (sections, meter) => {
    const source = sections[0]!;
    if (!take || source.name === 'Again') return sections;
    const like: Borrowed = { section: source.name };
    const taken = borrowedBars(source, like, meter, source.meter ?? meter);
    const plain: Bar = {
      content: { kind: 'chords', chords: [{ at: rational(0), symbol: 'Esus4' }] },
    };
    const bars = taken.map((bar, i): Bar => {
      const own = changed.includes(i) ? { ...bar, content: plain.content } : bar;
      const sung = [[{ text: 'again' }]];
      return verse && i % 3 === 0 ? { ...own, words: sung } : own;
    });
    return [
      ...sections,
      { name: 'Again', ...borrowedHead(source), like, bars: added ? [...bars, plain] : bars },
    ];
  });

/** Charts of one to three sections that hold by `checkChart`. */
export const charts: fc.Arbitrary<ChartBody> = fc
  .record({
    feel: feels,
    names: fc.uniqueArray(word, { minLength: 1, maxLength: 3 }),
  })
  .chain(({ feel, names }) =>
    fc
      .tuple(
        fc.tuple(...names.map((name) => sectionsNamed(name, feel))),
        metersFor(feel),
        borrowing,
      )
      .map(([own, meter, take]) => [take(own, meter), meter] as const)
      .chain(([sections, meter]) =>
        fc
          .record({
            title: word,
            by: fc.option(word),
            band: fc.option(bands, { freq: 3 }),
            fields: fc.option(freeFields, { freq: 3 }),
            notes: fc.option(headComments, { freq: 3 }),
            key: fc.option(fc.constantFrom('G', 'F♯ minor', 'Bbm', 'E major')),
            tempo: tempos,
            capo: fc.integer({ min: 0, max: 12 }),
            tuning: tunings,
            shapes,
            form: fc.array(entriesOf(sections), { minLength: 1, maxLength: 4 }),
          })
          .map(({ key, by, band, fields, notes, ...head }) => ({
            ...head,
            ...(by && { by }),
            ...(key && { key }),
            ...(band && { band }),
            ...(fields && { fields }),
            ...(notes && { comments: notes }),
            meter,
            feel,
            sections,
          })),
      ),
  )
  .filter((chart) => checkChart(chart).length === 0);
