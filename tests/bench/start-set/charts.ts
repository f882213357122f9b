// Charts for finding starts: typed as a teacher types them, drawn from families that belong to one part alone.
import type { Dice } from '../ear-set/random.ts';

/** Choices are made on the first two; the third is what the bench reports. */
export type Part = 'train' | 'choose' | 'report';

interface Family {
  readonly meter: string;
  readonly strums: readonly string[];
}

/** Strums in 4/4, 3/4 and 6/8; no part has another's. Common practice, no source. */
const FAMILIES: Readonly<Record<Part, readonly Family[]>> = {
  train: [
    {
      meter: '4/4',
      strums: [
        'eighths D- D- D- D-',
        'eighths D- DU -U DU',
        'eighths DU DU DU DU',
        'eighths D- -- D- --',
        'eighths D- -- -- --',
        'eighths D- DU D- DU',
        'sixteenths D--- D-DU -UD- D-DU',
        '',
      ],
    },
    { meter: '3/4', strums: ['eighths D- DU DU', 'eighths D- D- D-'] },
    { meter: '6/8', strums: ['eighths D-- DUD'] },
  ],
  choose: [
    {
      meter: '4/4',
      strums: [
        'eighths D- D- DU DU',
        'eighths D- -U -U D-',
        'eighths Dr Dr Dr Dr',
        'eighths D- -- DU --',
        'eighths DU D- DU D-',
        'triplets D-U D-U D-U D-U',
        'sixteenths D-D- D-D- D-D- DUDU',
      ],
    },
    { meter: '3/4', strums: ['eighths D- -- D-', 'eighths D- -U DU'] },
    { meter: '6/8', strums: ['eighths D-U D-U'] },
  ],
  report: [
    {
      meter: '4/4',
      strums: [
        'eighths D- DU -U D-',
        'eighths D- D- D- DU',
        'eighths D- -U D- DU',
        'eighths D- -- D- D-',
        'eighths -- D- -- D-',
        'sixteenths D--U D-DU D--U D-DU',
        'eighths Dr DU rU DU',
        '',
      ],
    },
    { meter: '3/4', strums: ['eighths DU DU DU', 'eighths D- DU D-'] },
    { meter: '6/8', strums: ['eighths DDD DDD'] },
  ],
};

/** Degrees of a key with the quality that players meet there: semitones above it, what is written behind the root. */
const DEGREES: Readonly<Record<Part, readonly (readonly [readonly [number, string], number])[]>> = {
  train: [
    [[0, ''], 6],
    [[2, 'm'], 3],
    [[4, 'm'], 2],
    [[5, ''], 5],
    [[7, ''], 5],
    [[9, 'm'], 4],
    [[7, '7'], 2],
    [[0, 'maj7'], 1],
    [[9, 'm7'], 1],
  ],
  choose: [
    [[0, 'm'], 6],
    [[3, ''], 3],
    [[5, 'm'], 4],
    [[7, 'm'], 2],
    [[7, '7'], 3],
    [[8, ''], 4],
    [[10, ''], 4],
    [[5, 'm7'], 1],
    [[2, 'm7b5'], 1],
  ],
  report: [
    [[0, ''], 5],
    [[0, 'sus4'], 1],
    [[2, 'm7'], 3],
    [[2, '7'], 1],
    [[4, 'm'], 2],
    [[5, ''], 4],
    [[5, 'm'], 1],
    [[7, ''], 4],
    [[7, '7'], 2],
    [[9, 'm'], 4],
    [[10, ''], 2],
    [[0, 'add9'], 1],
  ],
};

const ROOTS = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'] as const;

/** How the chords of a section repeat. */
const FORMS = {
  /** Two chords by turns. */
  'two by turns': 2,
  /** Four bars, again and again. */
  'four round': 4,
  /** Every chord lasts two bars. */
  'two bars each': 4,
  /** Two chords in each bar. */
  'two a bar': 4,
  /** The same chord for the first bars. */
  'same at first': 4,
  /** No order. */
  'no order': 4,
} as const;
export type Form = keyof typeof FORMS;

export interface DrawnChart {
  readonly text: string;
  readonly form: Form;
}

/** One section of 4 to 12 bars, named Take. */
export function drawChart(d: Dice, part: Part): DrawnChart {
  const family = d.weighted(FAMILIES[part].map((f) => [f, f.meter === '4/4' ? 8 : 1] as const));
  const form = d.pick(Object.keys(FORMS) as Form[]);
  const key = Math.floor(d.between(0, 12));
  const chord = (not?: string): string => {
    for (;;) {
      const [degree, quality] = d.weighted(DEGREES[part]);
      const symbol = `${ROOTS[(key + degree) % 12]!}${quality}`;
      if (symbol !== not) return symbol;
    }
  };
  const held = family.meter === '3/4' ? ' /' : '';
  const bars = barsOf(d, form, d.pick([4, 8, 8, 12]), chord, held);
  const pickup = d.chance(0.1) && family.meter === '4/4' ? ['pickup 1/4 ' + chord()] : [];
  const capo = d.chance(0.2) ? [`capo: ${d.pick([1, 2, 3, 4])}`] : [];
  const strum = d.pick(family.strums);
  return {
    form,
    text: [
      ...['title: A take', 'tempo: 100', `meter: ${family.meter}`, ...capo, '', '[Take]'],
      ...(strum === '' ? [] : [`strum: ${strum}`]),
      `| ${[...pickup, ...bars].join(' | ')} |`,
      '',
    ].join('\n'),
  };
}

/** @param held Beats between the two chords of a bar on which the first goes on. */
function barsOf(
  d: Dice,
  form: Form,
  count: number,
  chord: (not?: string) => string,
  held: string,
): string[] {
  const line = (length: number): string[] => {
    const chords: string[] = [];
    while (chords.length < length) chords.push(chord(chords.at(-1)));
    return chords;
  };
  const round = (chords: readonly string[]): string[] =>
    Array.from({ length: count }, (_, i) => chords[i % chords.length]!);
  switch (form) {
    case 'two by turns':
      return round(line(2));
    case 'four round':
      return round(line(4));
    case 'two bars each':
      return round(line(count / 2).flatMap((c) => [c, c]));
    case 'two a bar':
      return line(2 * count).flatMap((c, i, all) =>
        i % 2 === 0 ? [`${c}${held} ${all[i + 1]!}`] : [],
      );
    case 'same at first': {
      const [first, ...others] = line(count - 1);
      return d.chance(0.5)
        ? [first!, first!, ...others]
        : [first!, first!, first!, ...others.slice(1)];
    }
    case 'no order':
      return line(count);
  }
}
