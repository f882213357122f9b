// Takes of a real player: a WAV and its label side by side, judged as `npm run judge` would; see the README here.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';
import { unwrap } from '../../../app/core/base/result.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { judgeTake } from '../../../app/core/ear/judge-take.ts';
import { readTake } from '../../../app/core/ear/take.ts';
import { USUAL_RULE } from '../../../app/core/ear/verdict.ts';
import { changeName, changeWords } from '../../../app/core/ear/words.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import { unitGrips } from '../../../app/core/units/hands/hands.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { NETWORK } from '../../support/network.ts';

/** Git-ignored: recordings stay with who made them. */
export const MINE = fileURLToPath(new URL('mine', import.meta.url));

const PLAYED = ['right', 'wrong', 'late', 'unknown'] as const;
export type Played = (typeof PLAYED)[number];

const labelSchema = z.strictObject({
  chart: z.string(),
  unit: z.string(),
  bpm: z.number().min(20).max(400),
  start: z.number().min(0).optional(),
  guitar: z.string().default('a guitar'),
  room: z.string().default('a room'),
  played: z.array(z.enum(PLAYED)),
});

export interface LabelledChange {
  readonly take: string;
  readonly guitar: string;
  readonly room: string;
  readonly played: Exclude<Played, 'unknown'>;
  readonly heard: ChangeHeard;
}

/** The labels of a folder; empty where there is none. */
export const labelsIn = (folder: string): string[] =>
  existsSync(folder)
    ? readdirSync(folder)
        .filter((name) => name.endsWith('.json'))
        .map((name) => join(folder, name))
    : [];

/** @throws Error naming the label, what is wrong with it and the cure. */
export function judgeLabelled(file: string): LabelledChange[] {
  const label = readLabel(file);
  const wav = file.replace(/json$/, 'wav');
  const folder = dirname(file);
  const chart = unwrap(parseChart(readFileSync(resolve(folder, label.chart), 'utf8')));
  const whole = { id: 'take', ...chart };
  const unit = listUnits(whole).find(({ name }) => name === label.unit);
  if (!unit) throw new Error(`${file}: the chart has no unit ‘${label.unit}’. Mend "unit".`);
  const { changes } = judgeTake(unwrap(readTake(readFileSync(wav), wav)), unit, {
    ...{ bpm: label.bpm, rule: USUAL_RULE, network: NETWORK },
    ...unitGrips(unit, whole.shapes),
    ...(label.start === undefined ? {} : { start: label.start }),
  });
  if (changes.length !== label.played.length) {
    throw new Error(
      `${file}: "played" has ${label.played.length} words; ‘${label.unit}’ has ${changes.length} changes.`,
    );
  }
  const { guitar, room } = label;
  return changes.flatMap((heard, i): LabelledChange[] => {
    const played = label.played[i]!;
    return played === 'unknown' ? [] : [{ take: basename(wav), guitar, room, played, heard }];
  });
}

function readLabel(file: string): z.infer<typeof labelSchema> {
  const read = labelSchema.safeParse(parsed(file));
  if (read.success) return read.data;
  const { path, message } = read.error.issues[0]!;
  const place = path.map((step) =>
    typeof step === 'number' ? `word ${step + 1}` : `"${String(step)}"`,
  );
  throw new Error(`${[file, ...place].join(', ')}: ${message}. See tests/bench/takes/README.md.`);
}

function parsed(file: string): unknown {
  try {
    return JSON.parse(readFileSync(file, 'utf8'));
  } catch (error) {
    throw new Error(`${file} is not JSON: ${(error as Error).message}`, { cause: error });
  }
}

/** Late strokes of the right chord begin here, as in the test set. */
const LATE = 60;

/** "kit-1.wav, change 2 (D → Em): played wrong, heard right chord", for a player to listen to again. */
export const disagreement = ({ take, played, heard }: LabelledChange): string =>
  `${take}, change ${heard.change + 1} (${changeName(heard)}): played ${played}, heard ‘${changeWords(heard)}’`;

/** Did the ear say what the player says? What it could not tell is no agreement. */
export function agrees({ played, heard }: LabelledChange): boolean {
  const { chord, timing, offset = 0 } = heard;
  if (played === 'wrong') return chord !== 'right' && chord !== 'unsure';
  if (played === 'late') return chord === 'right' && timing === 'late' && offset >= LATE / 2;
  return chord === 'right';
}
