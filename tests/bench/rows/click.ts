// Where clicks really sound: rendered offline at every tempo, meter and feel; live under a stall; after an hour.
import type { Page } from '@playwright/test';
import { meterOf, beatUnitLength, usualBeatUnit } from '../../../app/core/rhythm/meter.ts';
import type { Feel, Meter } from '../../../app/core/model/chart.ts';
import type { Clicks, playLaps as PlayLaps } from '../../browser/audio/page.ts';
import type { BenchRow } from '../bench.ts';
import { inPage } from '../click/in-page.ts';
import type * as clickPage from '../click/page.ts';

declare const renderOffline: typeof clickPage.renderOffline;
declare const playTransport: typeof clickPage.playTransport;
declare const playLaps: typeof PlayLaps;

const METERS: readonly (readonly [number, Meter['unit']])[] = [
  ...[2, 3, 4, 5, 6, 7].map((n) => [n, 4] as const),
  ...[3, 5, 6, 7, 8, 9, 10, 11, 12].map((n) => [n, 8] as const),
  [2, 2],
];
const FEELS: readonly Feel[] = [
  { kind: 'straight' },
  { kind: 'swing', value: 8, long: 2, short: 1 },
  { kind: 'swing', value: 8, long: 3, short: 2 },
  { kind: 'swing', value: 16, long: 2, short: 1 },
];
const TEMPOS = [30, 47, 97, 170, 299, 300];
const RATES = [44_100, 48_000];

/**
 * Largest distance, in samples, between a click found and its ideal place, computed here from the exact
 * position and the definition of bpm with a single division.
 * @throws Error when clicks are missing or too many.
 */
async function worstOf(page: Page, wanted: clickPage.OfflineCase): Promise<number> {
  const { places, found } = await page.evaluate((c) => renderOffline(c), wanted);
  const beat = beatUnitLength(usualBeatUnit(meterOf(wanted.numerator, wanted.unit)));
  const ideals = places.map(
    ([n, d]) => (n * 60 * wanted.rate * beat.d) / (d * wanted.bpm * beat.n),
  );
  const moments = [...new Set(ideals)];
  if (moments.length !== found.length) {
    const { numerator, unit, bpm } = wanted;
    throw new Error(
      `${found.length} clicks of ${moments.length} in ${numerator}/${unit} at ${bpm}`,
    );
  }
  return moments.reduce((worst, at, i) => Math.max(worst, Math.abs(found[i]! - at)), 0);
}

function allCases(): clickPage.OfflineCase[] {
  return METERS.flatMap(([numerator, unit]) =>
    FEELS.flatMap((feel) =>
      TEMPOS.flatMap((bpm) =>
        RATES.map((rate) => ({ numerator, unit, feel, bpm, rate, bars: 2, from: 0 })),
      ),
    ),
  );
}

async function measureOffline() {
  const cases = allCases();
  const worst = await inPage(async (page) => {
    let most = 0;
    for (const wanted of cases) most = Math.max(most, await worstOf(page, wanted));
    return most;
  });
  return { value: worst, note: `${cases.length} renders; the nearest sample is at most 0.5 away` };
}

/** The last two seconds of a lap that lasts over an hour. */
async function measureHour() {
  const bpm = 97;
  const bars = Math.ceil((3602 * bpm) / 60 / 4);
  const wanted = { numerator: 4, unit: 4, feel: FEELS[1]!, bpm, rate: 48_000, bars } as const;
  const from = (bars * 4 * 60) / bpm - 2;
  const worst = await inPage((page) => worstOf(page, { ...wanted, from }));
  return { value: worst, note: 'swung sixteenths, 97 bpm, 48 kHz, Chromium’s own offline context' };
}

/** Expected clicks that no found onset matches within one sample: moved or dropped. */
const astray = ({ expected, found }: Pick<Clicks, 'expected' | 'found'>): number =>
  expected.filter((at) => !found.some((frame) => Math.abs(frame - at) <= 1)).length;

async function measureStall() {
  const [ours, tones] = await inPage(async (page) => [
    await page.evaluate(() => playLaps(240, 2)),
    await page.evaluate(() => playTransport(240, 64, 2)),
  ]);
  const sizes = `of ${ours.expected.length} clicks each; found ${ours.found.length} and ${tones.found.length}`;
  return {
    value: astray(ours),
    peer: { name: 'Tone Transport, defaults', value: astray(tones) },
    note: `${sizes}; main thread blocked for 2 s; samples recorded at the output`,
  };
}

export const rows: BenchRow[] = [
  {
    name: 'click-offline',
    what: 'click position rendered offline, 30–300 bpm, 16 meters, 4 feels, 44.1 and 48 kHz: worst distance from the ideal',
    unit: 'samples',
    goal: { at: '<=', value: 1 },
    measure: measureOffline,
  },
  {
    name: 'click-hour',
    what: 'the same in the last two seconds of a lap of 60 minutes',
    unit: 'samples',
    goal: { at: '<=', value: 1 },
    measure: measureHour,
  },
  {
    name: 'click-live-stall',
    what: 'clicks moved by more than a sample or dropped in a live context while the main thread stands still for 2 s',
    unit: 'clicks',
    goal: { at: '<=', value: 0 },
    measure: measureStall,
  },
];
