// How much faster than real time sound is made: the model guitar, and files of sound.
import { parseStrum } from '../../../app/core/rhythm/strum.ts';
import { type PracticeTrack, practiceTrack } from '../../../app/core/exchange/practice-track.ts';
import { writeWav } from '../../../app/core/exchange/wave/write.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { guitarEnd, mixGuitar, Plucks } from '../../../app/core/sound/guitar.ts';
import { hitsOf } from '../../../app/core/sound/hits.ts';
import { strumNotes } from '../../../app/core/sound/strum-notes.ts';
import type { Voicing } from '../../../app/core/units/hands/hands.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import {
  clicking,
  guitarStroke,
  SHAPES as STROKES,
  stroke,
  strumming,
} from '../../support/balance.ts';
import { loudest, SHORT_TERM } from '../../support/loudness.ts';
import { CLICK_TIMBRES, CLICK_VOICES } from '../../../app/core/timeline/click-voices.ts';
import { FULL_LEVELS } from '../../support/levels.ts';
import { PLAIN, unitOf } from '../../unit/timeline/examples.ts';
import type * as clickPage from '../click/page.ts';
import { inPage } from '../click/in-page.ts';
import { type BenchRow, quantile, timeRuns } from '../bench.ts';

declare const renderPlucks: typeof clickPage.renderPlucks;
declare const renderClicks: typeof clickPage.renderClicks;

const RATE = 48_000;

/** Open shapes of G, C, Em and D in standard tuning, a chord a bar, sixteenths throughout. */
const SHAPES: readonly (readonly [string, Voicing])[] = [
  ['G', [43, 47, 50, 55, 59, 67]],
  ['C', [null, 48, 52, 55, 60, 64]],
  ['Em', [40, 47, 52, 55, 59, 64]],
  ['D', [null, null, 50, 57, 62, 66]],
];

function eightBars() {
  const strum = unwrap(parseStrum('sixteenths D>UDxU D>UDU DUDxU D>UDU'));
  const chords = [...SHAPES, ...SHAPES];
  const plain = unitOf(chords.map(([symbol]) => ({ chords: [[symbol, 0]] })));
  const unit = { ...plain, bars: plain.bars.map((bar) => ({ ...bar, strum })) };
  const lap = buildLap(unit, 100, { ...PLAIN, countIn: 'none' });
  return strumNotes(lap, unit, chords.map(([, voicing]) => voicing)); // prettier-ignore
}

/** For the peer, which has six strings of its own: the open string at or below the pitch. */
const stringOf = (midi: number) =>
  Math.max(
    0,
    [40, 45, 50, 55, 59, 64].findLastIndex((open) => open <= midi),
  );

async function measureModel() {
  const notes = eightBars();
  const seconds = guitarEnd(notes);
  const out = new Float32Array(Math.ceil(seconds * RATE));
  const cold = await timeRuns(5, () => mixGuitar(out.fill(0), 0, notes, new Plucks(RATE)));
  const kept = new Plucks(RATE);
  const warm = await timeRuns(5, () => mixGuitar(out.fill(0), 0, notes, kept));
  const speed = (times: readonly number[]) => (seconds * 1000) / quantile(times, 0.5);
  const peerNotes = notes.map((note) => ({ ...note, string: stringOf(note.midi) }));
  const peer = await inPage((page) =>
    page.evaluate(([n, s]) => renderPlucks(n, s), [peerNotes, seconds] as const),
  );
  return {
    value: speed(cold),
    peer: { name: 'Tone PluckSynth ×6', value: (seconds * 1000) / peer },
    note: `${notes.length} strings plucked in ${seconds.toFixed(1)} s at ${RATE} Hz; strings made anew each time, ${speed(warm).toFixed(0)} × with strings kept`,
  };
}

/** Four rungs of an eight-bar unit, three passes each, with and without the model guitar. */
function longTrack(withModel: boolean) {
  const chords = [...SHAPES, ...SHAPES];
  const plain = unitOf(chords.map(([symbol]) => ({ chords: [[symbol, 0]] })));
  const track = practiceTrack(plain, {
    tempos: [80, 90, 100, 110],
    passes: 3,
    lap: { ...PLAIN, restBars: 1, subdivision: 2 },
    click: 'all',
    ...(withModel ? { voicings: chords.map(([, voicing]) => voicing) } : {}),
  });
  return unwrap(track);
}

async function measureWav() {
  const speed = async (track: PracticeTrack) => {
    const times = await timeRuns(5, () => [...writeWav(track, FULL_LEVELS, RATE)].length);
    return (track.end * 1000) / quantile(times, 0.5);
  };
  const clicks = longTrack(false);
  const model = await speed(longTrack(true));
  const times = clicks.laps.flatMap(({ lap, startsAt }) =>
    hitsOf(lap).map((hit) => startsAt + hit.seconds),
  );
  const peer = await inPage((page) =>
    page.evaluate(([t, s, r]) => renderClicks(t, s, r), [times, clicks.end, RATE] as const),
  );
  return {
    value: await speed(clicks),
    peer: { name: 'OfflineAudioContext', value: (clicks.end * 1000) / peer },
    note: `${clicks.end.toFixed(0)} s of clicks at ${RATE} Hz, 16 bits; ${model.toFixed(0)} × with the model guitar`,
  };
}

/** How far the model guitar lies from the click, and the table of all that sounds, in LKFS. */
async function measureLoudness() {
  const keys = Object.keys(STROKES) as (keyof typeof STROKES)[];
  const patterns = ['eighths D- D- D- D-', 'eighths DU DU DU DU', 'eighths D- DU -U DU'];
  const apart = keys.flatMap((shape) =>
    patterns.map((text) => loudest(strumming(text, shape), SHORT_TERM) - clicking('wood')),
  );
  const voices = CLICK_VOICES.map(
    (voice) => `${voice} ${CLICK_TIMBRES.map((t) => stroke(voice, t).toFixed(1)).join('/')}`,
  );
  const strokes = keys.map((shape) => {
    const [down, up] = ['D', 'U'].map((way) => guitarStroke(`eighths ${way}- -- -- --`, shape));
    return `${shape} down ${down!.toFixed(1)} up ${up!.toFixed(1)}`;
  });
  return {
    value: Math.max(...apart.map(Math.abs)),
    note: `momentary LKFS at the usual levels, ${CLICK_TIMBRES.join('/')}: ${voices.join(', ')}; guitar strokes: ${strokes.join(', ')}; guitar less click, short-term: ${apart.map((x) => x.toFixed(1)).join(' ')}`,
  };
}

export const rows: BenchRow[] = [
  {
    name: 'loudness-balance',
    what: 'model guitar against the click at the usual levels, ITU-R BS.1770 short-term: largest distance over 3 shapes and 3 patterns',
    unit: 'dB',
    goal: { at: '<=', value: 3 },
    measure: measureLoudness,
  },
  {
    name: 'model-guitar',
    what: '8 bars of strummed sixteenths played by the model guitar, rendered offline',
    unit: '× real time',
    goal: { at: '>=', value: 50 },
    measure: measureModel,
  },
  {
    name: 'wav-click-track',
    what: 'count-in, 12 passes on 4 rungs and rest bars written as a WAVE file',
    unit: '× real time',
    goal: { at: '>=', value: 100 },
    measure: measureWav,
  },
];
