// Each witness of a start alone decides where the others cannot: recordings as strokes, chords and loudness, nothing rendered.
import { describe, expect, it } from 'vitest';
import type { Seconds } from '../../../../app/core/base/units.ts';
import { MOMENT } from '../../../../app/core/ear/start/chord-odds.ts';
import type { Due } from '../../../../app/core/ear/start/due.ts';
import type { Heard } from '../../../../app/core/ear/start/fit.ts';
import { type StartPlace, placesOf } from '../../../../app/core/ear/start/places.ts';

const BEAT: Seconds = 0.5;
const BAR = 4 * BEAT;

/** The tones by which a chord is known here; no more is asked of it. */
const CHORDS = { C: [0], Dm: [2], F: [5], G: [7], Am: [9], B: [11] } as const;
type Symbol = keyof typeof CHORDS;

/** A chord a bar, a pattern of eighths for each, a count-in of four clicks. */
function dueIn(symbols: readonly Symbol[], pattern = 'D.D.D.D.', written = true): Due {
  return {
    strokes: symbols.flatMap((_, bar) =>
      [...pattern].flatMap((sign, i) =>
        sign === '.' ? [] : [{ at: bar * BAR + (i * BEAT) / 2, changes: i === 0 }],
      ),
    ),
    written,
    chords: symbols.map((symbol, bar) => ({
      tones: CHORDS[symbol],
      from: bar * BAR,
      until: (bar + 1) * BAR,
      beats: 4,
    })),
    countIn: [-4, -3, -2, -1].map((beat) => beat * BEAT),
    beat: BEAT,
    end: symbols.length * BAR,
  };
}

interface Sound {
  readonly length: Seconds;
  readonly strokes: readonly Seconds[];
  /** What sounds, and from when on; where nothing is said, no chord can be told. */
  readonly chords?: readonly (readonly [Seconds, Symbol])[];
  /** Where it is loud; else everywhere alike. */
  readonly loud?: readonly (readonly [Seconds, Seconds])[];
}

function heardFrom({ length, strokes, chords = [], loud }: Sound): Heard {
  const sounding = (at: Seconds) => {
    const last = chords.findLast(([from]) => from <= at);
    return last && CHORDS[last[1]][0];
  };
  const moments = Array.from({ length: Math.floor(length / MOMENT) }, (_, i) => i * MOMENT);
  const told = moments.map(sounding);
  /** For each tone the odds of all moments before each one, summed. */
  const sums = new Map<number, Float64Array>(
    Object.values(CHORDS).map(([tone]) => {
      const sum = new Float64Array(told.length + 1);
      told.forEach((now, i) => {
        sum[i + 1] = sum[i]! + (now === undefined ? 0 : now === tone ? 2 : -4);
      });
      return [tone, sum];
    }),
  );
  return {
    length,
    strokes: [...strokes].toSorted((a, b) => a - b),
    chords: {
      levels: Float64Array.from(moments, (t) =>
        !loud || loud.some(([a, b]) => t >= a && t < b) ? -20 : -60,
      ),
      mean: ([tone], from, to) => {
        const first = Math.ceil(from / MOMENT);
        const end = Math.min(told.length, Math.floor(to / MOMENT) + 1);
        const sum = sums.get(tone!)!;
        return end <= first ? null : (sum[end]! - sum[first]!) / (end - first);
      },
    },
  };
}

const played = (due: Due, start: Seconds, pace = 1): Seconds[] =>
  due.strokes.map(({ at }) => start + pace * at);
const nameOf = (tone: number): Symbol =>
  (Object.keys(CHORDS) as Symbol[]).find((name) => CHORDS[name][0] === tone)!;
const chordsFrom = (due: Due, start: Seconds, pace = 1): [Seconds, Symbol][] =>
  due.chords.map(({ tones, from }) => [start + pace * from, nameOf(tones[0]!)]);

const found = (due: Due, sound: Sound): StartPlace[] => placesOf(heardFrom(sound), due);
const sureOf = ([best, ...others]: readonly StartPlace[]): number =>
  1 / others.reduce((sum, other) => sum + Math.exp(other.worth - best!.worth), 1);

describe('of eighths that are quicker than a change may be late', () => {
  const QUICK = 0.15;
  /** A chord for each eight of them, DUDUDUDU. */
  const due: Due = {
    ...{ written: true, countIn: [], beat: 2 * QUICK, end: 64 * QUICK },
    strokes: Array.from({ length: 64 }, (_, i) => ({ at: i * QUICK, changes: i % 8 === 0 })),
    chords: (['C', 'F', 'Am', 'G', 'C', 'F', 'Am', 'G'] as const).map((symbol, i) => ({
      ...{ tones: CHORDS[symbol], from: i * 8 * QUICK, until: (i + 1) * 8 * QUICK, beats: 4 },
    })),
  };
  /** By how much the true place is better than the one a stroke before it. */
  const margin = (heardOf: (i: number) => boolean): number => {
    const strokes = due.strokes.flatMap(({ at }, i) => (heardOf(i) ? [2 + at] : []));
    const places = found(due, { length: 14, strokes, chords: chordsFrom(due, 2) });
    const near = (start: Seconds) => places.find((p) => Math.abs(p.start - start) < QUICK / 3)!;
    return near(2).worth - near(2 - QUICK).worth;
  };

  it('no stroke is heard twice, once late and once in time', () => {
    expect(margin((i) => i % 8 === 0)).toBeGreaterThan(8);
    expect(margin((i) => i % 2 === 0)).toBeGreaterThan(8);
  });

  it('those that rise too little to be heard are not held against the whole pass', () => {
    const strokes = due.strokes.flatMap(({ at }, i) => (i % 8 === 0 ? [2 + at] : []));
    expect(found(due, { length: 14, strokes })[0]!.start).toBeGreaterThan(-0.1);
  });
});

describe('strokes', () => {
  const oneChord = dueIn(['C', 'C', 'C', 'C'], 'D..DD.DD');

  it('find the start by the rhythm alone, though the guitar went on before and after', () => {
    const around = [0.4, 0.9, 1.4, 1.9, 2.4, 11.9, 12.4, 12.9];
    const strokes = [...played(oneChord, 3.5), ...around];
    const [best] = found(oneChord, { length: 14, strokes });
    expect(best!.start).toBeCloseTo(3.5, 1);
  });

  it('leave out that some are missing and some were not written', () => {
    const all = played(oneChord, 2);
    const strokes = [...all.filter((_, i) => i % 5 !== 3), 3.13, 6.61, 8.87];
    expect(found(oneChord, { length: 12, strokes })[0]!.start).toBeCloseTo(2, 1);
  });

  it('of talk before the pass are many together, and not each held against it', () => {
    const even = dueIn(['C', 'C', 'C', 'C']);
    const talk = Array.from({ length: 34 }, (_, i) => 0.2 + 0.21 * i + 0.04 * Math.sin(i * i));
    const strokes = [...talk, ...played(even, 8).filter((_, i) => i % 4 !== 2)];
    const chords = [
      [8, 'C'],
      [11, 'F'],
    ] as const;
    expect(found(even, { length: 17, strokes, chords })[0]!.start).toBeCloseTo(8, 1);
  });

  it('say that nothing came before and nothing after: even strokes of one chord begin with the first', () => {
    const even = dueIn(['C', 'C', 'C', 'C']);
    const places = found(even, { length: 14, strokes: played(even, 3) });
    expect(places[0]!.start).toBeCloseTo(3, 1);
    expect(sureOf(places)).toBeGreaterThan(0.8);
  });

  it('rather follow the end than precede the start, where there are some too many', () => {
    const even = dueIn(['C', 'C', 'C', 'C']);
    const strokes = [...played(even, 3), 11, 11.5];
    expect(found(even, { length: 14, strokes })[0]!.start).toBeCloseTo(3, 1);
  });

  it('may come in any number where none are written', () => {
    const free = dueIn(['C', 'G', 'C', 'G'], 'D.......', false);
    const strokes = played(dueIn(['C', 'C', 'C', 'C'], 'DDDDDDDD'), 2);
    const strict = found({ ...free, written: true }, { length: 12, strokes });
    const [best] = found(free, { length: 12, strokes });
    expect(best!.start).toBeCloseTo(2, 1);
    expect(best!.worth).toBeGreaterThan(strict[0]!.worth);
  });

  it('of a change may come late', () => {
    const changes = dueIn(['C', 'G', 'C', 'G'], 'D..DD.DD');
    const strokes = changes.strokes.map(({ at, changes: late }) => 2 + at + (late ? 0.13 : 0));
    const [best] = found(changes, { length: 12, strokes });
    const unknown = { ...changes, strokes: changes.strokes.map((s) => ({ ...s, changes: false })) };
    expect(best!.start).toBeCloseTo(2, 1);
    expect(best!.worth).toBeGreaterThan(found(unknown, { length: 12, strokes })[0]!.worth + 3);
  });

  it('that come with the clicks of the count-in are the count-in', () => {
    const even = dueIn(['C', 'C', 'C', 'C']);
    const strokes = [...played(even, 4), ...even.countIn.map((at) => 4 + at)];
    const loud = [[4, 12.5]] as const;
    const places = found(even, { length: 14, strokes, loud });
    expect(places[0]!.start).toBeCloseTo(4, 1);
    const unclicked = { ...even, countIn: [] };
    expect(sureOf(places)).toBeGreaterThan(sureOf(found(unclicked, { length: 14, strokes, loud })));
  });
});

describe('chords', () => {
  const four = dueIn(['C', 'G', 'Am', 'F']);
  const strokes = Array.from({ length: 32 }, (_, i) => 0.5 + i * BEAT);

  it('find the start among even strokes without beginning or end', () => {
    const chords = [[0, 'Dm'], ...chordsFrom(four, 4.5), [12.5, 'Dm']] as const;
    const places = found(four, { length: 17, strokes, chords });
    expect(places[0]!.start).toBeCloseTo(4.5, 1);
    expect(sureOf(places)).toBeGreaterThan(0.9);
  });

  it('count beat by beat: one that lasts two bars does not begin in its second', () => {
    const long = dueIn(['C', 'C', 'G', 'G']);
    const held = {
      ...long,
      chords: [
        { tones: CHORDS.C, from: 0, until: 2 * BAR, beats: 8 },
        { tones: CHORDS.G, from: 2 * BAR, until: 4 * BAR, beats: 8 },
      ],
    };
    const chords = [
      [4.5, 'C'],
      [8.5, 'G'],
      [12.5, 'Dm'],
    ] as const;
    expect(found(held, { length: 17, strokes, chords })[0]!.start).toBeCloseTo(4.5, 1);
  });

  it('may be wrong, even two of four', () => {
    const chords = [
      [0, 'Dm'],
      [4.5, 'C'],
      [6.5, 'B'],
      [8.5, 'Am'],
      [10.5, 'B'],
      [12.5, 'Dm'],
    ] as const;
    expect(found(four, { length: 17, strokes, chords })[0]!.start).toBeCloseTo(4.5, 1);
  });

  it('may be held too long within a bar', () => {
    const wrongInside = (['C', 'G', 'Am', 'F'] as const).flatMap((symbol, bar) => {
      const from = 4.5 + bar * BAR;
      return [
        [from, symbol],
        [from + BEAT, 'B'],
        [from + 3 * BEAT, symbol],
      ] as const;
    });
    const chords = [[0, 'Dm'], ...wrongInside, [12.5, 'Dm']] as const;
    expect(found(four, { length: 17, strokes, chords })[0]!.start).toBeCloseTo(4.5, 1);
  });

  it('that are all wrong weigh less than a bar that is missing', () => {
    const rhythm = dueIn(['C', 'G', 'Am', 'F'], 'D..DD.DD');
    const tried = played(rhythm, 15).filter((at) => at < 15 + 3 * BAR - 0.1);
    const chords = [[3, 'B']] as const;
    const sound = { length: 26, strokes: [...played(rhythm, 3), ...tried] };
    const heard = heardFrom({ ...sound, chords });
    const untold = (from: number) => from > 12;
    const { mean } = heard.chords;
    const partly = (tones: readonly number[], from: number, to: number) =>
      untold(from) ? 0 : mean(tones, from, to);
    const [best] = placesOf({ ...heard, chords: { ...heard.chords, mean: partly } }, rhythm);
    expect(best!.start).toBeCloseTo(3, 1);
  });

  it('that are all wrong leave it to the strokes', () => {
    const rhythm = dueIn(['C', 'G', 'Am', 'F'], 'D..DD.DD');
    const chords = [[0, 'B']] as const;
    const [best] = found(rhythm, { length: 14, strokes: played(rhythm, 3), chords });
    expect(best!.start).toBeCloseTo(3, 1);
  });
});

describe('silence before', () => {
  it('tells the first round from the second, and says that it might be either', () => {
    const round = dueIn(['C', 'G', 'C', 'G']);
    const strokes = [...played(round, 3), ...played(round, 3 + round.end)];
    const chords = [...chordsFrom(round, 3), ...chordsFrom(round, 3 + round.end)];
    const loud = [[3, 20]] as const;
    const places = found(round, { length: 22, strokes, chords, loud });
    expect(places[0]!.start).toBeCloseTo(3, 1);
    const everywhere = found(round, { length: 22, strokes, chords });
    expect(sureOf(places)).toBeGreaterThan(sureOf(everywhere) + 0.05);
  });

  it('decides where a stroke too few leaves two places', () => {
    const even = dueIn(['C', 'C', 'C', 'C']);
    const strokes = Array.from({ length: 17 }, (_, i) => 3 + i * BEAT);
    // A click a beat before is no sound of the guitar.
    const loud = [
      [3, 3.1],
      [3.5, 12],
    ] as const;
    expect(found(even, { length: 14, strokes, loud })[0]!.start).toBeCloseTo(3.5, 1);
  });
});

describe('the recording', () => {
  const even = dueIn(['C', 'C', 'C', 'C']);

  it('mostly holds the whole pass: the first bar that it lacks costs more than the second', () => {
    const strokes = played(even, 0.5);
    const [two, three, whole] = [2, 3, 4].map((bars) => {
      const length = 0.5 + bars * BAR - 0.1;
      const held = strokes.filter((at) => at < length);
      const places = found(even, { length, strokes: held, loud: [[0.5, length]] });
      return places.find(({ start }) => Math.abs(start - 0.5) < 0.05)!.worth;
    });
    expect(whole! - three! - (three! - two!)).toBeGreaterThan(3);
  });

  it('may lack the beginning', () => {
    const four = dueIn(['C', 'G', 'Am', 'F'], 'D..DD.DD');
    const strokes = played(four, -2).filter((at) => at > 0);
    const [best] = found(four, { length: 7, strokes, chords: chordsFrom(four, -2) });
    expect(best!.start).toBeCloseTo(-2, 1);
  });
});

describe('pace', () => {
  const four = dueIn(['C', 'G', 'Am', 'F', 'C', 'G', 'Am', 'F'], 'D..DD.DD');

  it.each([0.98, 1, 1.03])('%f is found with the start', (pace) => {
    const strokes = played(four, 2, pace);
    const chords = chordsFrom(four, 2, pace);
    const [best] = found(four, { length: 20, strokes, chords });
    expect(Math.abs(best!.start - 2)).toBeLessThan(0.05);
    expect(best!.pace).toBeCloseTo(pace, 9);
  });
});

it('is the written pace where another one fits hardly better', () => {
  const even = dueIn(['C', 'C', 'C', 'C']);
  const [best] = found(even, { length: 14, strokes: played(even, 2, 1.006) });
  expect(best!.pace).toBe(1);
});

describe('a long pass', () => {
  it('is told by its end, where its beginning was played once too often before', () => {
    const verse: Symbol[] = ['C', 'G', 'Am', 'F', 'C', 'G', 'Am', 'F'];
    const song = dueIn([...verse, ...verse, ...verse, 'Dm', 'B', 'Dm', 'B'], 'D..DD.DD');
    const once = dueIn(verse, 'D..DD.DD');
    const strokes = [...played(once, 5), ...played(song, 5 + once.end)];
    const chords = [...chordsFrom(once, 5), ...chordsFrom(song, 5 + once.end)];
    const [best] = found(song, { length: 80, strokes, chords });
    expect(best!.start).toBeCloseTo(5 + once.end, 1);
  });

  it('is found though its beginning comes again and again', () => {
    const verse: Symbol[] = ['C', 'G', 'Am', 'F', 'C', 'G', 'Am', 'F'];
    const song = dueIn([...verse, ...verse, ...verse, 'Dm', 'G'], 'D..DD.DD');
    const strokes = played(song, 5);
    const chords = chordsFrom(song, 5);
    const [best] = found(song, { length: 62, strokes, chords, loud: [[5, 58]] });
    expect(best!.start).toBeCloseTo(5, 1);
  });
});
