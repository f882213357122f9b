// The band: how much faster than real time it is made, how loud it is beside the click, and a live one under a stall.
import { bandOf } from '../../../app/core/band/band.ts';
import { bassEnd, mixBass, mixDrums } from '../../../app/core/band/mix.ts';
import { BASS_HIGH, BASS_LOW, type BandKit, type DrumVoice } from '../../../app/core/band/model.ts';
import { practiceTrack } from '../../../app/core/exchange/practice-track.ts';
import { writeWav } from '../../../app/core/exchange/wave/write.ts';
import type { Seconds } from '../../../app/core/base/units.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { USUAL_LEVELS } from '../../../app/core/sound/levels.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type * as kitPage from '../../browser/audio/kit-page.ts';
import { openAudioPage } from '../../browser/audio/open-page.ts';
import type * as audioPage from '../../browser/audio/page.ts';
import { launchOptions } from '../../browser/chromium.ts';
import { clicking } from '../../support/balance.ts';
import { samplesOf } from '../../support/band-kit.ts';
import { FULL_LEVELS } from '../../support/levels.ts';
import { loudest, MOMENTARY, SHORT_TERM } from '../../support/loudness.ts';
import { PLAIN, unitOf } from '../../unit/timeline/examples.ts';
import { type BenchRow, quantile, timeRuns } from '../bench.ts';
import { inPage } from '../click/in-page.ts';
import type * as clickPage from '../click/page.ts';
import { chromium } from '@playwright/test';

declare const renderBandKit: typeof kitPage.renderBandKit;
declare const playBand: typeof audioPage.playBand;
declare const playTransport: typeof clickPage.playTransport;

const RATE = 48_000;

/** The kit as the program renders it, and the milliseconds it took. */
async function realKit(): Promise<{ readonly kit: BandKit; readonly took: number }> {
  const browser = await chromium.launch(launchOptions({ entire: true }));
  try {
    const page = await openAudioPage(browser, './kit-page.ts');
    const { took, drums, bass } = await page.evaluate((rate) => renderBandKit(rate), RATE);
    const read = Object.entries(drums).map(([voice, s]) => [voice, samplesOf(s)] as const);
    const kit = {
      sampleRate: RATE,
      drums: Object.fromEntries(read) as Record<DrumVoice, Float32Array>,
      bass: bass.map(samplesOf),
    };
    return { kit, took };
  } finally {
    await browser.close();
  }
}

/** Sections of eight bars in turn, a chord a bar. */
function song(bars: number): Unit {
  const chords = ['G', 'C', 'Em', 'D'];
  const plain = unitOf(
    Array.from({ length: bars }, (_, i) => ({ chords: [[chords[i % 4]!, 0]] as const })),
  );
  const named = plain.bars.map((bar, i) => ({
    ...bar,
    ...(i % 16 < 8 ? { section: 'Verse' } : { section: 'Chorus', role: 'chorus' as const }),
    time: Math.floor(i / 16) + 1,
  }));
  return { ...plain, bars: named };
}

const VOICING = [43, 47, 50, 55, 59, 67];

async function measureRender() {
  const { kit, took } = await realKit();
  const unit = song(72);
  const lap = buildLap(unit, 100, { ...PLAIN, countIn: 'none' });
  const times = await timeRuns(5, () => {
    const { drums, bass } = bandOf(unit, lap);
    const out = new Float32Array(Math.ceil((bassEnd(bass) + 2) * RATE));
    mixDrums(out, 0, drums, kit);
    mixBass(out, 0, bass, kit);
  });
  const speed = (list: readonly number[], seconds: number) =>
    (seconds * 1000) / quantile(list, 0.5);
  return {
    value: speed(times, lap.end),
    note: `drums and bass of ${lap.end.toFixed(0)} s at ${RATE} Hz; Tone renders the ${Object.keys(kit.drums).length} drums and ${BASS_HIGH - BASS_LOW + 1} bass notes once in ${(took / 1000).toFixed(1)} s`,
  };
}

/** By processor time, all threads: a shared machine does not make the program slower. */
async function measureWave() {
  const { kit } = await realKit();
  const unit = song(72);
  const track = unwrap(
    practiceTrack(unit, {
      tempos: [100],
      passes: 1,
      lap: { ...PLAIN, restBars: 1 },
      click: 'all',
      voicings: unit.bars.map(() => VOICING),
      band: {},
    }),
  );
  const write = () => [...writeWav(track, FULL_LEVELS, RATE, kit)].length;
  const [cold = 0, ...warm] = Array.from({ length: 5 }, () => {
    const before = process.cpuUsage();
    write();
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 1e6;
  });
  const speed = (seconds: Seconds) => track.end / seconds;
  return {
    value: speed(quantile(warm, 0.5)),
    note: `${track.end.toFixed(0)} s at ${RATE} Hz; the first file, its strings and code not yet warm, ${speed(cold).toFixed(0)} ×`,
  };
}

async function measureLoudness() {
  const { kit } = await realKit();
  const unit = song(8);
  const lap = buildLap(unit, 100, { ...PLAIN, countIn: 'none', restBars: 1 });
  const { drums, bass } = bandOf(unit, lap);
  const out = () => new Float32Array(Math.ceil((lap.end + 2) * RATE));
  const [d, b] = [out(), out()];
  mixDrums(d, 0, drums, kit);
  mixBass(b, 0, bass, kit);
  const at = (samples: Float32Array, level: number) =>
    loudest(
      samples.map((x) => x * level),
      SHORT_TERM,
    );
  const click = clicking('wood');
  const apart = [at(d, USUAL_LEVELS.drums) - click, at(b, USUAL_LEVELS.bass) - click];
  const single = Object.entries(kit.drums).map(
    ([voice, samples]) =>
      `${voice} ${loudest(
        samples.map((x) => x * USUAL_LEVELS.drums),
        MOMENTARY,
      ).toFixed(1)}`,
  );
  return {
    value: Math.max(...apart.map(Math.abs)),
    note: `drums ${apart[0]!.toFixed(1)} dB, bass ${apart[1]!.toFixed(1)} dB against the click; single strokes, momentary LKFS: ${single.join(', ')}`,
  };
}

async function measureStall() {
  const [ours, tones] = await inPage(async (page) => [
    await page.evaluate(() => playBand(160, 2)),
    await page.evaluate(() => playTransport(240, 64, 2)),
  ]);
  const astray = ({ expected, found }: audioPage.Clicks) =>
    expected.filter((at) => !found.some((frame) => Math.abs(frame - at) <= 1)).length;
  return {
    value: astray(ours),
    peer: { name: 'Tone Transport, defaults', value: astray(tones) },
    note: `of ${ours.expected.length} moments of drums and bass and ${tones.expected.length} of the peer; main thread blocked for 2 s; samples recorded at the output`,
  };
}

export const rows: BenchRow[] = [
  {
    name: 'band-render',
    what: 'drums and bass of 72 bars made from the chart and mixed, the kit rendered before',
    unit: '× real time',
    goal: { at: '>=', value: 50 },
    measure: measureRender,
  },
  {
    name: 'wave-band',
    what: 'a WAVE file with click, guitar, drums and bass, against real time, processor time',
    unit: '× real time',
    goal: { at: '>=', value: 100 },
    measure: measureWave,
  },
  {
    name: 'band-loudness',
    what: 'drums and bass of a verse against the click at the usual levels, ITU-R BS.1770 short-term: larger distance',
    unit: 'dB',
    goal: { at: '<=', value: 3 },
    measure: measureLoudness,
  },
  {
    name: 'band-live-stall',
    what: 'moments of a live band moved by more than a sample or dropped while the main thread stands still for 2 s',
    unit: 'moments',
    goal: { at: '<=', value: 0 },
    measure: measureStall,
  },
];
