// A chart drawn from a seed, typed in the notation that the program has read from its beginnings.
import { Dice } from './dice.ts';
import { type BarContext, drawBars, drawLines, drawMeter, drawStrum } from './drawn-bars.ts';
import { drawLeads } from './drawn-lead.ts';

const KEYS =
  'C|G|D|A|E|B|F#|F|Bb|Eb|Ab|Db|Am|E minor|F# minor|C# minor|D minor|G minor|C minor|Bb minor|E♭ major|F♯ m|D dorian|E phrygian|F lydian|A mixolydian|B locrian'.split(
    '|',
  );
const TUNINGS = [
  'drop D',
  'low = D2 G2 C3 F3 A3 D4',
  'six = D2 A2 D3 G3 A3 D4',
  'open G',
  'DADGAD',
];
const ROOTS = 'C G D A E F Bb Eb F# B C# Ab Db G# Gb Cb E# A# D# Fb B#'.split(' ');
const EVERYDAY = ['', 'm', '7', 'm7', 'maj7', 'sus4', 'add9', 'm7b5', 'dim7', '6', '9'];
const NAMES = ['Intro', 'Verse', 'Chorus', 'Bridge', 'Tag', 'Middle', 'Part A', 'Part B'];
const RATIOS = ['2:1', '3:2', '3:1', '5:3', '7:5'];

/** @param suffixes What may follow a chord's root; every one of them comes up in turn. */
export function drawChart(seed: number, suffixes: readonly string[]): string {
  const dice = new Dice(seed * 7919 + 13);
  const meter = drawMeter(dice, false);
  const swing = meter.unit <= 4 && dice.falls(0.35);
  const hasKey = dice.falls(0.75);
  const chord = drawChords(dice, seed, suffixes);
  const head = [
    `title: Practice sheet ${seed}`,
    ...(hasKey ? [`key: ${dice.one(KEYS)}`] : []),
    `tempo: ${drawTempo(dice)}`,
    `meter: ${meter.text}`,
    ...(swing ? [`feel: swing ${dice.one([8, 8, 8, 16])} ${dice.one(RATIOS)}`] : []),
    ...(dice.falls(0.35) ? [`capo: ${dice.whole(1, 9)}`] : []),
    ...(dice.falls(0.15) ? [`tuning: ${dice.one(TUNINGS)}`] : []),
  ];
  const names = NAMES.filter(() => dice.falls(0.25));
  const sections = (names.length > 0 ? names : ['Verse']).slice(0, 3).map((name) => {
    const straight = dice.falls(swing ? 0.15 : 0);
    const context: BarContext = { chord, swings: swing && !straight };
    const own = dice.falls(0.2) ? drawMeter(dice, context.swings) : undefined;
    const start = own ?? meter;
    const strum = dice.falls(0.7) ? drawStrum(dice, start) : undefined;
    const pickup = start.quarters > 1 && dice.falls(0.25);
    const bars = drawBars(dice, context, dice.whole(pickup ? 3 : 2, 9), { start, pickup, strum });
    const lines = [
      `[${name}]`,
      ...(dice.falls(0.2) ? [`tempo: ${drawTempo(dice)}`] : []),
      ...(own ? [`meter: ${own.text}`] : []),
      ...(straight ? ['feel: straight'] : []),
      ...(strum ? [`strum: ${strum.text}`] : []),
      drawLines(dice, bars),
      // Where bars are counted from has changed since: a pickup was bar 1, now it has no number.
      ...(pickup ? [] : drawLeads(dice, bars, hasKey)),
    ];
    return { name, lines, context, end: bars.at(-1)!, start };
  });
  const form = Array.from({ length: dice.whole(1, 4) }, () => {
    const { name, context, start } = dice.one(sections);
    const entry = `${name}${dice.falls(0.3) ? ` x${dice.whole(2, 3)}` : ''}`;
    if (dice.falls(0.7)) return entry;
    // In the section's own meter, whatever stood before.
    const bars = drawBars(dice, context, 1, { start, pickup: false });
    const text = `${start.text} ${bars[0]!.text.replace(/^[^ ]*\d\/\d[^ ]* /, '')}`;
    return `${entry} ${dice.one(['ending', 'added'])} | ${text} |`;
  });
  return `${[head, ...sections.map(({ lines }) => lines), ...(dice.falls(0.8) ? [['form:', ...form]] : [])].map((lines) => lines.join('\n')).join('\n\n')}\n`;
}

function drawTempo(dice: Dice): string {
  const [sign, least, most] = dice.one([
    ['♩ = ', 40, 210],
    ['♩ = ', 40, 210],
    ['q. = ', 30, 140],
    ['', 50, 140],
    ['half = ', 30, 100],
    ['♪ = ', 90, 300],
  ] as const);
  return `${sign}${dice.whole(least, most) + dice.one([0, 0, 0, 0.5, 0.25])}`;
}

/** A few chords that come again and again, and now and then a rare one, a slash bass, a pin or silence. */
function drawChords(dice: Dice, seed: number, suffixes: readonly string[]): () => string {
  let rare = (seed * 37) % suffixes.length;
  const palette = Array.from(
    { length: dice.whole(3, 7) },
    () => dice.one(ROOTS.slice(0, 10)) + dice.one(EVERYDAY),
  );
  const next = (): string => {
    rare = (rare + 1) % suffixes.length;
    const root = dice.one(dice.falls(0.9) ? ROOTS.slice(0, 14) : ROOTS);
    // "Ebb9" has two readings.
    return root.endsWith('b') && suffixes[rare]!.startsWith('b')
      ? dice.one(palette)
      : root + suffixes[rare]!;
  };
  return () => {
    if (dice.falls(0.03)) return 'N.C.';
    const symbol = dice.falls(0.75) ? dice.one(palette) : next();
    const slash = dice.falls(0.08) && !symbol.includes('/') ? `/${dice.one(ROOTS)}` : '';
    return symbol + slash + (dice.falls(0.03) ? drawPin(dice) : '');
  };
}

function drawPin(dice: Dice): string {
  const fret = dice.whole(0, 7);
  const near = [fret, fret + 1, fret + 2, 0, 'x'];
  return `[${Array.from({ length: 5 }, () => dice.one(near)).join('')}${fret}]`;
}
