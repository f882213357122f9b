// The help sheet of the chart notation: every example here is parsed by a test.

export interface NotationHelp {
  readonly what: string;
  /** Lines as typed; `where` says what must stand around them. */
  readonly typed: string;
  readonly where: 'head' | 'section' | 'bars' | 'form';
}

export const notationHelp: readonly {
  readonly title: string;
  readonly lines: readonly NotationHelp[];
}[] = [
  {
    title: 'At the top',
    lines: [
      { what: 'Title of the chart', typed: 'title: Paper Boats', where: 'head' },
      { what: 'Key, for the spelling of chords', typed: 'key: G', where: 'head' },
      {
        what: 'Tempo with the note it counts: h, q or e, with a dot for a dotted one',
        typed: 'tempo: q. = 58',
        where: 'head',
      },
      { what: 'Meter; groups where they are unusual', typed: 'meter: 7/8 (3+2+2)', where: 'head' },
      {
        what: 'Feel: straight, or swung eighths or sixteenths',
        typed: 'feel: swing 8 2:1',
        where: 'head',
      },
      { what: 'Capo at a fret', typed: 'capo: 2', where: 'head' },
      {
        what: 'Tuning by name, or six notes from string 6 to 1',
        typed: 'tuning: D A D G B E',
        where: 'head',
      },
      {
        what: 'A shape for a chord everywhere, string 6 first',
        typed: 'shape Bm = x24432',
        where: 'head',
      },
    ],
  },
  {
    title: 'A section',
    lines: [
      { what: 'Its name stands in brackets', typed: '[Bridge]', where: 'section' },
      {
        what: 'Its own tempo, meter or feel, if it differs',
        typed: 'tempo: q = 84',
        where: 'section',
      },
      {
        what: 'Strokes: D down, U up, > accent, x muted, - ring on, r rest',
        typed: 'strum: eighths D- D>U -U DU',
        where: 'section',
      },
    ],
  },
  {
    title: 'Bars',
    lines: [
      { what: 'Bar lines with a chord each', typed: '| G | C | Em | D |', where: 'bars' },
      {
        what: 'A beat each: a slash or a dot goes on',
        typed: '| G / / C | Em . . . |',
        where: 'bars',
      },
      { what: 'Two chords within one beat', typed: '| G / / (C D) |', where: 'bars' },
      { what: 'The bar before once more', typed: '| G | % |', where: 'bars' },
      { what: 'A repeat, played three times', typed: '|: G | C :| x3', where: 'bars' },
      { what: 'First and second ending', typed: '|: G |1. C :|2. D |', where: 'bars' },
      { what: 'A pickup bar of one quarter', typed: '| pickup 1/4 D | G |', where: 'bars' },
      { what: 'The meter changes here', typed: '| G | 2/4 C | 4/4 D |', where: 'bars' },
      { what: 'A shape for this once', typed: '| G[355433] | C |', where: 'bars' },
      { what: 'Strokes for one bar', typed: '| G {eighths D- D- D- D-} | C |', where: 'bars' },
      { what: 'Silence', typed: '| G | N.C. |', where: 'bars' },
    ],
  },
  {
    title: 'Lead lines',
    lines: [
      {
        what: 'A lead line over bars from bar 1 on, as string/fret; 8 is eighths from there on',
        typed: 'line: Hook, bar 1\npart Guitar 1: | 8 3/5 3/7 2/5 2/8 2 1/5 |',
        where: 'section',
      },
      {
        what: 'Hammer-on h, pull-off p, slide up / or down \\ on the same string',
        typed: 'line: Hook, bar 1\npart Guitar 1: | 4 3/5 h7 p5 /9 |',
        where: 'section',
      },
      {
        what: 'Bends by b.5, b1 or b1.5 steps, r to release, ~ vibrato, ^ let ring',
        typed: 'line: Hook, bar 1\npart Guitar 1: | 2 3/7b1r 4 2/8~ 1/0^ |',
        where: 'section',
      },
      {
        what: 'Dotted 4., triplet 8t, r rest, - hold, x muted, + together, g5h grace note',
        typed: 'line: Hook, bar 1\npart Guitar 1: | 4. 3/g5h7 8 - 8t r 5/x 3/5 4 3/7+2/8 |',
        where: 'section',
      },
      {
        what: 'A second part that follows the first',
        typed: 'line: Hook, bar 1\npart Guitar 1: | 1 3/7 |\npart Guitar 2: Guitar 1, octave up',
        where: 'section',
      },
    ],
  },
  {
    title: 'The form',
    lines: [
      { what: 'The order of the sections, with repeats', typed: 'Verse x2', where: 'form' },
      { what: 'The last time ends differently', typed: 'Verse ending | C | G |', where: 'form' },
      { what: 'Bars added after the last time', typed: 'Verse added | G |', where: 'form' },
    ],
  },
];

/** A whole chart around one example, for the test that parses it. */
export function around({ typed, where }: NotationHelp): string {
  const head = where === 'head' ? typed : '';
  const title = typed.startsWith('title:') ? '' : 'title: Example';
  const bars = where === 'bars' ? typed : '| G | C | Em | D |';
  const opening = where === 'section' && typed.startsWith('[') ? typed : '[Verse]';
  const within = where === 'section' && !typed.startsWith('[') ? typed : '';
  const name = opening.slice(1, -1);
  const meter = typed.startsWith('meter:') ? '' : 'meter: 4/4';
  const tempo = typed.startsWith('tempo:') && where === 'head' ? '' : 'tempo: q = 100';
  const played = where === 'form' ? typed : name;
  const lines = [title, tempo, meter, head, opening, within, bars, 'form:', played];
  return lines.filter(Boolean).join('\n');
}

/** What a new chart starts with. */
export const newChartText = (title: string): string => `title: ${title}
key: G
tempo: ♩ = 90
meter: 4/4

[Verse]
| G | C | Em | D |

[Chorus]
| C | G | D / / C | G |

form:
Verse
Chorus
`;
