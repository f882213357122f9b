// Chord diagrams of MusicXML against npm musicxml-io 0.9.6 as reader, for every position of the published
// shape database npm @tombatossals/chords-db 0.5.1, with the fingers that it gives to some of them.
import db from '@tombatossals/chords-db/lib/guitar.json' with { type: 'json' };
import * as io from 'musicxml-io';
import { describe, expect, test } from 'vitest';
import type { Bar, ChartBody, Frets } from '../../app/core/model/chart.ts';
import { parseChart } from '../../app/core/chart/notation/parse.ts';
import { readMusicXml } from '../../app/core/exchange/musicxml/read/read.ts';
import { writeMusicXml } from '../../app/core/exchange/musicxml/write/write.ts';
import { ZERO } from '../../app/core/base/rational.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { POSITIONS } from './chords-db.ts';

const SHAPES: readonly Frets[] = POSITIONS.map(({ frets }) => frets);
const EMPTY = unwrap(parseChart('title: T\ntempo: 100\n[A]\n| C |'));

/** A chart with each shape pinned in a bar of its own, a section for every hundred. */
function chartOf(shapes: readonly Frets[]): ChartBody {
  const bars = shapes.map((shape): Bar => ({
    content: { kind: 'chords', chords: [{ at: ZERO, symbol: 'C', shape }] },
  }));
  const names = Array.from({ length: Math.ceil(bars.length / 100) }, (_, i) => `S${i + 1}`);
  return {
    ...EMPTY,
    sections: names.map((name, i) => ({ name, bars: bars.slice(i * 100, i * 100 + 100) })),
    form: names.map((section) => ({ section, times: 1 })),
  };
}

const file = unwrap(writeMusicXml(chartOf(SHAPES)));
const frameNotesIn = (xml: string) =>
  io.getHarmonies(io.parse(xml)).map(({ harmony }) => harmony.frame?.frameNotes ?? []);
const frames = frameNotesIn(file);

describe('every position of the database', () => {
  test('is read by musicxml-io with the same frets', () => {
    const read = frames.map((frameNotes) =>
      [6, 5, 4, 3, 2, 1].map((s) => frameNotes.find((n) => n.string === s)?.fret ?? null),
    );
    expect(read).toEqual(SHAPES);
  });

  test('has barres with two ends on one fret, under one finger', () => {
    const barres = frames.map((frameNotes) => ({
      starts: frameNotes.filter(({ barre }) => barre === 'start'),
      stops: frameNotes.filter(({ barre }) => barre === 'stop'),
    }));
    expect(barres.filter(({ starts }) => starts.length > 0).length).toBeGreaterThan(500);
    for (const { starts, stops } of barres) {
      expect(stops).toHaveLength(starts.length);
      for (const { string, fret, fingering } of starts) {
        const end = stops.find((stop) => stop.fret === fret && stop.fingering === fingering);
        expect(end!.string).toBeLessThan(string);
      }
    }
  });

  test('comes back here as the same pinned shape', () => {
    const { chart, warnings } = unwrap(readMusicXml(file));
    expect(warnings).toEqual([]);
    const pinned = chart.sections.flatMap(({ bars }) =>
      bars.flatMap(({ content }) => (content.kind === 'chords' ? [content.chords[0]!.shape] : [])),
    );
    expect(pinned).toEqual(SHAPES);
  });

  test('comes back from what musicxml-io wrote, too', () => {
    const theirs = unwrap(readMusicXml(io.serialize(io.parse(file))));
    expect(theirs).toEqual(unwrap(readMusicXml(file)));
  });
});

/** Where trade and database agree on one fingering (common practice, no source, for the choice of these). */
const AGREED: readonly (readonly [key: 'C' | 'G' | 'D' | 'A' | 'F' | 'E', suffix: string])[] = [
  ['C', 'major'],
  ['G', 'major'],
  ['A', 'minor'],
  ['D', 'minor'],
  ['F', 'major'],
  ['E', 'major'],
];

test.each(AGREED)('%s %s: the fingers of the database', (key, suffix) => {
  const { positions } = db.chords[key].find((chord) => chord.suffix === suffix)!;
  const { frets, fingers, baseFret } = positions[0]!;
  const shape = frets.map((f) => (f < 0 ? null : f === 0 ? 0 : f + baseFret - 1));
  const [frame] = frameNotesIn(unwrap(writeMusicXml(chartOf([shape]))));
  const written = [6, 5, 4, 3, 2, 1].map((s) =>
    Number(frame!.find((n) => n.string === s)?.fingering ?? 0),
  );
  expect(written).toEqual(fingers);
});

describe('diagrams of other programs', () => {
  const note = (string: number, fret: number, more = ''): string =>
    `<frame-note><string>${string}</string><fret>${fret}</fret>${more}</frame-note>`;
  const shapeIn = (...notes: string[]): unknown => {
    const { chart } = unwrap(
      readMusicXml(
        `<score-partwise><part-list/><part><measure><harmony><root><root-step>F</root-step></root><kind>major</kind><frame><frame-strings>6</frame-strings><frame-frets>4</frame-frets>${notes.join('')}</frame></harmony></measure></part></score-partwise>`,
      ),
    );
    const { content } = chart.sections[0]!.bars[0]!;
    return content.kind === 'chords' ? content.chords[0]!.shape : undefined;
  };
  const START = '<fingering>1</fingering><barre type="start"/>';
  const STOP = '<fingering>1</fingering><barre type="stop"/>';

  test('a barre whose ends alone are written lies on the strings between', () => {
    expect(
      shapeIn(note(6, 1, START), note(1, 1, STOP), note(5, 3), note(4, 3), note(3, 2)),
    ).toEqual([1, 3, 3, 2, 1, 1]);
  });

  test('muted strings beside it stay muted', () => {
    expect(shapeIn(note(5, 3, START), note(1, 3, STOP), note(3, 5))).toEqual([null, 3, 3, 5, 3, 3]);
  });
});

test('a diagram for four strings is left out, and that is said', () => {
  const { warnings } = unwrap(
    readMusicXml(
      '<score-partwise><part-list/><part><measure><sound tempo="90"/><harmony><root><root-step>F</root-step></root><kind>major</kind><frame><frame-strings>4</frame-strings><frame-frets>4</frame-frets><frame-note><string>1</string><fret>2</fret></frame-note></frame></harmony></measure></part></score-partwise>',
    ),
  );
  expect(warnings.map(({ message }) => message)).toEqual([
    'bar 1: the diagram of F is left out. It is for a neck of other than six strings.',
  ]);
});
