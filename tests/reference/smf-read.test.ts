// Standard MIDI Files as charts: what is written by @tonejs/midi 2.0.28 and by our own writer, read back; bytes as SMF 1.0 prints them.
import tonejsMidi from '@tonejs/midi';
import { writeMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { unwrap } from '../../app/core/base/result.ts';
import { printChart } from '../../app/core/chart/notation/print.ts';
import { parseChart } from '../../app/core/chart/notation/parse.ts';
import { readSmf } from '../../app/core/exchange/midi/read.ts';
import { writeSmf } from '../../app/core/exchange/midi/write.ts';
import { practiceTrack } from '../../app/core/exchange/practice-track.ts';
import { resolveUnit } from '../../app/core/units/resolve.ts';
import { meterOf } from '../../app/core/rhythm/meter.ts';
import { emptyBars, PLAIN, unitOf } from '../unit/timeline/examples.ts';

const { Midi } = tonejsMidi;

describe('tempo, meter and markers', () => {
  it('120 bpm (07 A1 20) and 3/4, bar by bar, as another library writes them', () => {
    const midi = new Midi();
    midi.header.setTempo(120);
    midi.header.timeSignatures.push({ ticks: 0, timeSignature: [3, 4] });
    midi.addTrack().addNote({ midi: 60, ticks: 0, durationTicks: 480 * 12 });
    const bytes = midi.toArray();
    expect(Buffer.from(bytes).includes(Buffer.from([0xff, 0x51, 0x03, 0x07, 0xa1, 0x20]))).toBe(
      true,
    );
    const { chart, warnings } = unwrap(readSmf(bytes));
    expect(chart.tempo).toEqual({ bpm: 120, beat: 'quarter' });
    expect(chart.meter).toMatchObject({ numerator: 3, unit: 4 });
    expect(chart.sections.map(({ name, bars }) => [name, bars.length])).toEqual([['Part 1', 4]]);
    expect(warnings[0]!.message).toBe('its notes are left out');
  });

  it('sections begin at markers, with their own tempo; the meter changes where it says so', () => {
    const bytes = fileOf([
      { deltaTime: 0, type: 'trackName', text: 'Kiln Road' },
      { deltaTime: 0, type: 'setTempo', microsecondsPerBeat: 600_000 },
      { deltaTime: 0, type: 'timeSignature', ...clocks, numerator: 6, denominator: 8 },
      { deltaTime: 0, type: 'marker', text: 'Verse' },
      { deltaTime: 3 * 480 * 2, type: 'marker', text: 'Chorus: loud' },
      { deltaTime: 0, type: 'setTempo', microsecondsPerBeat: 500_000 },
      { deltaTime: 0, type: 'timeSignature', ...clocks, numerator: 4, denominator: 4 },
      { deltaTime: 4 * 480, type: 'timeSignature', ...clocks, numerator: 2, denominator: 4 },
      { deltaTime: 2 * 480, type: 'marker', text: 'Verse' },
      { deltaTime: 2 * 480, type: 'endOfTrack' },
    ]);
    const { chart } = unwrap(readSmf(bytes));
    // 100 quarters a minute are 66.7 dotted quarters.
    expect(printChart(chart)).toBe(
      [
        'title: Kiln Road\ntempo: ♩. = 66.7\nmeter: 6/8\n',
        '[Verse]\n| / / | / / |\n',
        '[Chorus loud]\ntempo: ♩ = 120\nmeter: 4/4\n| / / / / | 2/4 / / |\n',
        '[Verse 2]\ntempo: ♩ = 120\nmeter: 2/4\n| / / |\n',
        'form:\nVerse\nChorus loud\nVerse 2\n',
      ].join('\n'),
    );
    expect(parseChart(printChart(chart)).ok).toBe(true);
  });

  const tempo = (deltaTime: number, bpm: number) =>
    ({ deltaTime, type: 'setTempo', microsecondsPerBeat: Math.round(60e6 / bpm) }) as const;
  const four = {
    deltaTime: 0,
    type: 'timeSignature',
    ...clocks,
    numerator: 4,
    denominator: 4,
  } as const;
  const BAR = 4 * 480;

  it('a tempo that moves beat by beat is a gradual change, and the own tempo again is a tempo', () => {
    const { chart, warnings } = unwrap(
      readSmf(
        fileOf([
          ...[tempo(0, 96), four, tempo(BAR, 92), tempo(480, 88), tempo(480, 84), tempo(480, 80)],
          ...[tempo(480, 96), { deltaTime: 2 * BAR, type: 'endOfTrack' } as const],
        ]),
      ),
    );
    expect(printChart(chart)).toContain(
      '| / / / / | rit. = 80 / / / / | a tempo / / / / | / / / / |',
    );
    expect(warnings).toHaveLength(1);
  });

  it('our own rit. and a tempo come back from our own file', () => {
    const typed = 'title: T\ntempo: 96\n[A]\n| G | rit. = 80 G | a tempo G |\n';
    const unit = unwrap(resolveUnit(unwrap(parseChart(typed)), { kind: 'section', section: 'A' }));
    const lap = { ...PLAIN, restBars: 0, countIn: 'none' as const };
    const track = practiceTrack(unit, { tempos: [96], passes: 1, lap, click: 'all' });
    const text = printChart(unwrap(readSmf(writeSmf(unwrap(track), 'T'))).chart);
    expect(text).toContain('rit. = 80');
    expect(text).toContain('a tempo');
  });

  it('another tempo that stays begins a section; one that never rests is left out and said', () => {
    const stays = unwrap(
      readSmf(
        fileOf([tempo(0, 90), four, tempo(2 * BAR, 120), { deltaTime: BAR, type: 'endOfTrack' }]),
      ),
    ).chart;
    expect(stays.sections.map(({ name, tempo: own }) => [name, own?.bpm])).toEqual([
      ['Part 1', undefined],
      ['Part 1 2', 120],
    ]);
    const restless = Array.from({ length: 40 }, (_, i) =>
      tempo(i === 0 ? 0 : BAR, 90 + 7 * (i % 3)),
    );
    const read = unwrap(
      readSmf(fileOf([four, ...restless, { deltaTime: BAR, type: 'endOfTrack' }])),
    );
    expect(read.chart.sections).toHaveLength(1);
    expect(read.warnings.map(({ message }) => message)[1]).toContain('moves all the time');
  });

  it('our own practice track comes back with its meter and rungs as sections', () => {
    const unit = unitOf(emptyBars(2), meterOf(4, 4));
    const lap = { ...PLAIN, restBars: 1 };
    const track = practiceTrack(unit, { tempos: [120, 125], passes: 1, lap, click: 'all' });
    const { chart } = unwrap(readSmf(writeSmf(unwrap(track), 'Kiln Road ♯2')));
    expect(chart.title).toBe('Kiln Road ♯2');
    expect(chart.sections.map(({ tempo }) => tempo?.bpm ?? chart.tempo.bpm)).toEqual([
      120, 120, 120, 125, 125, 125,
    ]);
  });
});

describe('what is no chart', () => {
  it.each([
    ['noise', Uint8Array.from([1, 2, 3]), 'midi-broken'],
    ['a cut file', fileOf([{ deltaTime: 0, type: 'endOfTrack' }]).slice(0, 20), 'midi-broken'],
  ])('%s is refused in words', (_, bytes, code) => {
    expect(readSmf(bytes)).toMatchObject({ ok: false, problems: [{ code }] });
  });
});

type Events = Parameters<typeof writeMidi>[0]['tracks'][number];
const clocks = { metronome: 24, thirtyseconds: 8 };

function fileOf(track: Events): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(
    writeMidi({ header: { format: 1, numTracks: 1, ticksPerBeat: 480 }, tracks: [track] }),
  );
}
