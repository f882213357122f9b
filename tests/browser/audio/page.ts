// Runs in the page: plays laps through the real player and tells which samples came out.
import { frameAt } from '../../../app/core/sound/frames.ts';
import { KNEE, underCeiling } from '../../../app/core/sound/ceiling.ts';
import { mixGuitar, Plucks } from '../../../app/core/sound/guitar.ts';
import { strumNotes } from '../../../app/core/sound/strum-notes.ts';
import { hitsOf } from '../../../app/core/sound/hits.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { LapOptions } from '../../../app/core/timeline/model.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { bandOf } from '../../../app/core/band/band.ts';
import { sampleKit } from '../../support/band-kit.ts';
import { createPlayer } from '../../../renderer/audio/live-player.ts';
import { type Player, QUIET_LEVELS, type VoiceLevels } from '../../../renderer/audio/player.ts';
import { FULL_LEVELS } from '../../support/levels.ts';
import { emptyBars, unitOf } from '../../unit/timeline/examples.ts';
import { renderBandKit } from './kit-page.ts';
import { noteFeeds, onsets, record } from './tape.ts';

noteFeeds();

export const LOUD: VoiceLevels = { ...FULL_LEVELS, master: 1 };

/** One sample in the place of a voice: its frame can be read without doubt. */
const singleSample = () => new Float32Array([1]);

const OPTIONS: LapOptions = {
  countIn: 'one',
  restBars: 0,
  click: { kind: 'every-beat' },
  subdivision: 4,
  cueBeats: 0,
  markChanges: true,
};

const lapAt = (bpm: number, bars: number) => buildLap(unitOf(emptyBars(bars)), bpm, OPTIONS);

function blockMainThread(seconds: number) {
  const until = performance.now() + seconds * 1000;
  while (performance.now() < until);
}

const later = (seconds: number) => new Promise((done) => setTimeout(done, seconds * 1000));

async function opened(player: Player): Promise<AudioContext> {
  unwrap(await player.open());
  return player.context()!;
}

export interface Clicks {
  readonly sampleRate: number;
  readonly expected: readonly number[];
  readonly found: readonly number[];
}

/** Two laps, the second handed over before the first ends; the main thread stands still for `block` seconds. */
export async function playLaps(bpm: number, block: number): Promise<Clicks> {
  const player = createPlayer({ levels: LOUD, voice: singleSample });
  const context = await opened(player);
  const recording = await record(context);
  const lap = lapAt(bpm, 1);
  const first = player.schedule(lap, player.earliest() + 0.2);
  const second = player.schedule(lap, first.endsAt);
  await later(0.3);
  if (block > 0) blockMainThread(block);
  const tape = await recording.until(second.endsAt);
  await player.close();
  const expected = [first, second].flatMap(({ startsAt }) =>
    hitsOf(lap).map((hit) => frameAt(startsAt + hit.seconds, context.sampleRate)),
  );
  return { sampleRate: context.sampleRate, expected, found: onsets(tape) };
}

/** The same with the second half of the lap cancelled before it sounds. */
export async function playAndCancel(): Promise<Clicks & { readonly cancelledFrom: number }> {
  const player = createPlayer({ levels: LOUD, voice: singleSample });
  const context = await opened(player);
  const recording = await record(context);
  const lap = lapAt(240, 1);
  const scheduled = player.schedule(lap, player.earliest());
  const from = scheduled.startsAt + lap.end / 2;
  scheduled.cancel(from);
  const tape = await recording.until(scheduled.endsAt);
  await player.close();
  const expected = hitsOf(lap).map((h) => frameAt(scheduled.startsAt + h.seconds, tape.sampleRate));
  const cancelledFrom = frameAt(from, tape.sampleRate);
  return { sampleRate: tape.sampleRate, expected, found: onsets(tape), cancelledFrom };
}

/** The loudest sample of a lap whose voices are `gain` times as loud as full scale. */
export async function loudest(gain: number, levels: VoiceLevels): Promise<number> {
  const noise = () => Float32Array.from({ length: 2000 }, (_, i) => gain * Math.cos(i * i));
  const player = createPlayer({ levels, voice: noise });
  const context = await opened(player);
  const recording = await record(context);
  const { endsAt } = player.schedule(lapAt(240, 1), player.earliest());
  const tape = await recording.until(endsAt);
  await player.close();
  return tape.samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
}

/** Stops in mid-lap; then plays another lap. Frames of the stop, of its last sound, and of the next lap's. */
export async function stopAndGoOn() {
  const player = createPlayer({ levels: LOUD, voice: singleSample });
  const context = await opened(player);
  const recording = await record(context);
  player.schedule(lapAt(240, 4), player.earliest());
  await later(0.6);
  player.stop();
  // Until here the thread of the sound, which is ahead of this one, may have gone on.
  await later(0);
  const stoppedAt = frameAt(player.now(), context.sampleRate);
  const lap = lapAt(240, 1);
  const next = player.schedule(lap, player.earliest() + 0.3);
  const tape = await recording.until(next.endsAt);
  await player.close();
  const expected = hitsOf(lap).map((h) => frameAt(next.startsAt + h.seconds, tape.sampleRate));
  return { sampleRate: tape.sampleRate, stoppedAt, expected, found: onsets(tape) };
}

/** A lap asked for in the past; what is heard now against the clock; trouble told when the system suspends. */
export async function lateAndSuspended() {
  const player = createPlayer();
  const context = await opened(player);
  const heard = player.heardNow();
  const now = player.now();
  const late = player.schedule(lapAt(120, 1), now - 1);
  const troubles: string[] = [];
  player.onTrouble((trouble) => troubles.push(trouble.kind));
  await context.suspend();
  await later(0.05);
  const reopened = await player.open();
  const same = player.context() === context;
  await player.close();
  return {
    movedBy: late.movedBy,
    startsAfter: late.startsAt - now,
    behind: now - heard,
    troubles,
    reopened: reopened.ok,
    same,
    quiet: QUIET_LEVELS.master,
  };
}

/** Two bars of the model guitar without click after a count-in: recorded, beside what core makes of it. */
export async function playModel() {
  const player = createPlayer({ levels: LOUD, voice: singleSample });
  const context = await opened(player);
  const recording = await record(context);
  const unit = unitOf([{ chords: [['Em', 0]] }, { chords: [['Am', 0]] }]);
  const lap = buildLap(unit, 240, OPTIONS);
  const model = strumNotes(lap, unit, [
    [40, 47, 52, 55, 59, 64],
    [null, 45, 52, 57, 60, 64],
  ]);
  await player.prepare(model);
  const at = player.earliest();
  const { startsAt, endsAt } = player.schedule(lap, at, { click: 'count-in', model });
  const tape = await recording.until(endsAt + 0.1);
  await player.close();
  const ideal = new Float32Array(Math.round((endsAt - startsAt) * tape.sampleRate));
  mixGuitar(ideal, 0, model, new Plucks(tape.sampleRate));
  const from = frameAt(startsAt, tape.sampleRate);
  const unitFrom = from + frameAt(lap.unitStart, tape.sampleRate);
  const differences = Array.from(ideal, (x, i) =>
    from + i < unitFrom
      ? 0
      : Math.abs(underCeiling(KNEE * x) - tape.samples[from + i - tape.startsAt]!),
  );
  return {
    worst: differences.reduce((most, d) => Math.max(most, d), 0),
    loudest: ideal.reduce((most, x) => Math.max(most, Math.abs(x)), 0),
    clicks: onsets(tape).filter((frame) => frame < unitFrom).length,
  };
}

/** Eight bars of drums and bass without click, one sample a sound; the main thread stands still for `block` seconds. */
export async function playBand(bpm: number, block: number): Promise<Clicks> {
  const player = createPlayer({
    levels: LOUD,
    kit: (rate) => Promise.resolve(sampleKit(rate)),
  });
  const context = await opened(player);
  await player.prepareBand();
  const recording = await record(context);
  const unit = unitOf([{ chords: [['G', 0]] }, { chords: [['C', 0]] }, ...emptyBars(6)]);
  const lap = buildLap(unit, bpm, { ...OPTIONS, countIn: 'none' });
  const band = bandOf(unit, lap);
  const { startsAt, endsAt } = player.schedule(lap, player.earliest() + 0.2, {
    click: 'none',
    band,
  });
  await later(0.3);
  if (block > 0) blockMainThread(block);
  const tape = await recording.until(endsAt);
  await player.close();
  const moments = [...band.drums, ...band.bass].map(({ seconds }) =>
    frameAt(startsAt + seconds, context.sampleRate),
  );
  const expected = [...new Set(moments)].toSorted((a, b) => a - b);
  return { sampleRate: context.sampleRate, expected, found: onsets(tape) };
}

Object.assign(globalThis, {
  playBand,
  renderBandKit,
  LOUD,
  playLaps,
  playAndCancel,
  loudest,
  stopAndGoOn,
  lateAndSuspended,
  playModel,
});
