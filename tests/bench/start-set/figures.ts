// How often `npm run judge` finds where a take begins, by what makes it hard; run as users run it, a process for a take.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Seconds } from '../../../app/core/base/units.ts';
import { counted, type Counted } from '../ear-set/counted.ts';
import type { Part } from './charts.ts';
import type { StartPlan } from './plan.ts';
import { startTakes, type StartTake } from './set.ts';

/** Farther off is wrong. */
const NEAR: Seconds = 0.06;

export interface JudgedStart {
  readonly plan: StartPlan;
  readonly off: Seconds;
  /** Said to be so. */
  readonly doubtful: boolean;
}

export interface StartsTold {
  readonly wrong: Counted;
  readonly saidSo: Counted;
  readonly doubted: Counted;
}

export interface StartFigures extends StartsTold {
  /** Each trouble that led to a wrong or doubted start, with its counts. */
  readonly byTrouble: readonly string[];
}

export function startsTold(
  all: readonly { readonly off: Seconds; readonly doubtful: boolean }[],
): StartsTold {
  const wrong = all.filter(({ off }) => Math.abs(off) > NEAR);
  return {
    wrong: counted(wrong.length, all.length),
    saidSo: counted(wrong.filter((s) => s.doubtful).length, wrong.length),
    doubted: counted(all.filter((s) => s.doubtful).length, all.length),
  };
}

export function startFigures(all: readonly JudgedStart[]): StartFigures {
  const byTrouble = [...Map.groupBy(all, ({ plan }) => plan.trouble)].flatMap(([trouble, of]) => {
    const [bad, doubted] = [of.filter((j) => Math.abs(j.off) > NEAR), of.filter((j) => j.doubtful)];
    if (bad.length + doubted.length === 0) return [];
    return [`${trouble} ${bad.length} wrong, ${doubted.length} doubted of ${of.length}`];
  });
  return { ...startsTold(all), byTrouble };
}

export function judgedStarts(part: Part): JudgedStart[] {
  const folder = mkdtempSync(join(os.tmpdir(), 'starts-'));
  try {
    return [...startTakes(part)].map((take) => judged(take, join(folder, 'chart.txt')));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const JUDGE = fileURLToPath(new URL('../../../app/judge.ts', import.meta.url));

function judged({ plan, wav }: StartTake, chart: string): JudgedStart {
  writeFileSync(chart, plan.text);
  const asked = ['--chart', chart, '--unit', plan.unit.name, '--tempo', String(plan.sound.bpm)];
  const out = execFileSync(process.execPath, [JUDGE, ...asked, '--take', wav, '--json']);
  const { start, remarks } = JSON.parse(out.toString()) as {
    start: Seconds;
    remarks: readonly { code: string }[];
  };
  const off = start - plan.start;
  const doubtful = remarks.some(({ code }) => code === 'ear-start-doubtful');
  return { plan, off, doubtful };
}
