// Speed of the record: all units of a long log summarised and fitted, and its history drawn.
import path from 'node:path';
import { chromium } from '@playwright/test';
import { build } from 'vite';
import { dateOfDay, dayNumber } from '../../../app/core/log/days.ts';
import { writeReport, readReport, composeReport } from '../../../app/core/exchange/desk/report.ts';
import { fitLogistic } from '../../support/logistic.ts';
import { nextDayTempo, ownedTempo } from '../../../app/core/progress/owned-tempo.ts';
import { summarise, unitId } from '../../../app/core/log/per-unit.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { launchOptions } from '../../browser/chromium.ts';
import { dice } from '../honest/players.ts';
import { type BenchRow, quantile, timeRuns } from '../bench.ts';
import type { measure } from '../record/draw.ts';
import { openHistory } from '../record/open-history.ts';

const PASSES = 200_000;
const UNITS = 40;
const YEARS = 10;
const LAST_DAY = '2031-04-05';

export const rows: BenchRow[] = [
  {
    name: 'history-fit-200k',
    what: `200,000 passes of ${UNITS} units summarised, owned and next-day tempo of every unit fitted; peer: one plain maximum-likelihood fit per unit over all its passes`,
    unit: 'ms',
    goal: { at: '<=', value: 500 },
    measure: async () => {
      const passes = longLog();
      const times = await timeRuns(5, () => fitAll(passes), 1);
      const peer = await timeRuns(5, () => plainFits(passes), 1);
      return {
        value: quantile(times, 0.5),
        peer: { name: 'plain logistic fits', value: quantile(peer, 0.5) },
        note: 'median of 5; loading is the row history-load-200k',
      };
    },
  },
  {
    name: 'history-draw-200k',
    what: 'tempo plot of 200,000 passes of one unit drawn once in Chromium: shapes, owned tempo, lines; peer: uPlot’s own line and points of the same data',
    unit: 'ms',
    goal: { at: '<=', value: 250 },
    measure: () => drawInBrowser(),
  },
  {
    name: 'history-open-200k',
    what: 'History room opened in Chromium over 200,000 passes, from the click until the plot is there, loading included; peer: the same with 200 passes',
    unit: 'ms',
    goal: { at: '<=', value: 400 },
    measure: async () => {
      const long = await openHistory(PASSES);
      const short = await openHistory(200);
      return {
        value: long.open,
        peer: { name: 'with 200 passes', value: short.open },
        note: `longest task while filtering ${long.filter.toFixed(0)} ms, while zooming ${long.zoom.toFixed(0)} ms (0: none of 50 ms or more)`,
      };
    },
  },
  {
    name: 'report-read-20k',
    what: 'a practice report of 20,000 passes read and checked; peer: JSON.parse of its text',
    unit: 'ms',
    measure: async () => {
      const text = reportText();
      const now = `${LAST_DAY}T23:00:00Z`;
      const times = await timeRuns(3, () => unwrap(readReport(text, now)), 1);
      const peer = await timeRuns(3, () => JSON.parse(text) as unknown, 1);
      return {
        value: quantile(times, 0.5),
        peer: { name: 'JSON.parse', value: quantile(peer, 0.5) },
        note: `${(text.length / 1e6).toFixed(1)} MB`,
      };
    },
  },
];

/** Ten years of passes spread over the units, in time order; tempos around each unit's own, from a seed. */
function longLog(count = PASSES, units = UNITS): PassRecord[] {
  const roll = dice(1);
  const last = dayNumber(LAST_DAY);
  const days = 365 * YEARS;
  return Array.from({ length: count }, (_, i): PassRecord => {
    const day = last - days + 1 + Math.floor((i * days) / count);
    const minute = String(i % 60).padStart(2, '0');
    const unit = Math.floor(i / 12) % units;
    const owned = 70 + unit;
    const bpm = Math.round(owned * (0.85 + 0.3 * roll()));
    const clean = roll() < 1 / (1 + Math.exp(-1.39 + 15 * Math.log2(bpm / owned)));
    return {
      id: `p${i}`,
      at: `${dateOfDay(day)}T18:${minute}:00+02:00`,
      session: `s${day}`,
      climb: `c${day}-${unit}`,
      chart: { id: `chart-${unit % 8}`, title: 'Bench' },
      unit: { key: `section:${unit}`, name: `Section ${unit}`, fingerprint: `fp-${unit}` },
      rung: { bpm, beat: 'quarter', index: 0, of: 8, target: 120 },
      verdict: clean ? 'clean' : 'missed',
      source: 'self',
      cold: i % 12 === 0,
      duration: 20,
    };
  });
}

function fitAll(passes: readonly PassRecord[]): number {
  return summarise(passes).filter(({ passes: those, beat }) => {
    nextDayTempo(those, beat, LAST_DAY);
    return ownedTempo(those, beat, LAST_DAY).kind === 'number';
  }).length;
}

function plainFits(passes: readonly PassRecord[]): void {
  for (const those of Map.groupBy(passes, unitId).values()) {
    const groups = [...Map.groupBy(those, ({ rung }) => rung.bpm)].map(([bpm, at]) => {
      const yes = at.filter(({ verdict }) => verdict === 'clean').length;
      return { x: Math.log2(bpm), yes, no: at.length - yes };
    });
    unwrap(fitLogistic(groups));
  }
}

function reportText(): string {
  const passes = longLog(20_000);
  const prints = [...new Set(passes.map(({ unit }) => unit.fingerprint))];
  return writeReport(
    composeReport({
      now: `${LAST_DAY}T22:00:00Z`,
      student: { id: 'bench', name: 'Bench' },
      charts: [],
      assignments: [],
      passes,
      units: Object.fromEntries(
        prints.map((fingerprint) => [fingerprint, { fingerprint, bars: [] }]),
      ),
    }),
  );
}

/** Builds the plot alone and draws it in Chromium. */
async function drawInBrowser() {
  const root = path.resolve(import.meta.dirname, '../../..');
  const built = await build({
    root,
    logLevel: 'error',
    configFile: false,
    build: {
      write: false,
      lib: {
        entry: path.join(root, 'tests/bench/record/draw.ts'),
        formats: ['iife'],
        name: 'draw',
      },
    },
  });
  const output = Array.isArray(built) ? built[0]!.output : 'output' in built ? built.output : [];
  const [chunk] = output;
  if (chunk?.type !== 'chunk') throw new Error('the plot could not be built');
  const browser = await chromium.launch(launchOptions({ entire: true }));
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    await page.setContent('<!doctype html><div id="place"></div>');
    await page.addScriptTag({ content: chunk.code });
    const times = await page.evaluate(
      (passes) => (globalThis as never as { draw: Draw }).draw.measure(passes),
      PASSES,
    );
    return {
      value: quantile(times.ours, 0.5),
      peer: { name: 'uPlot line and points', value: quantile(times.peer, 0.5) },
      note: `median of ${times.ours.length}; columns with ${times.days} owned tempos ${times.columns.toFixed(0)} ms apart; zoomed to a tenth ${quantile(times.zoomed, 0.5).toFixed(1)} ms`,
    };
  } finally {
    await browser.close();
  }
}

interface Draw {
  readonly measure: typeof measure;
}
