// The ear of a climb beside its conductor: which laps it asks for, what it says of each, and when it says nothing.
import { describe, expect, it } from 'vitest';
import { USUAL_RULE } from '../../../../../app/core/ear/verdict.ts';
import type { ChangeHeard } from '../../../../../app/core/model/pass.ts';
import type { Analysis } from '../../../../../renderer/audio/capture/analysis.ts';
import type { AskedTake, HeardTake } from '../../../../../renderer/audio/capture/takes.ts';
import { ClimbEar } from '../../../../../renderer/state/ear/climb-ear.svelte.ts';
import { reportWords } from '../../../../../renderer/parts/ear/ear-words.ts';
import { settle } from '../../../../support/settle.ts';
import { settled, Stage } from '../climb/stage.ts';

/** The player asks for 50 ms, the conductor for 150 ms before the first click. */
const T0 = 0.2;
const RATE = 48_000;

class FakeAnalysis implements Analysis {
  readonly asked = new Map<number, AskedTake>();
  #tell: (take: HeardTake) => void = () => {};
  follow = () => () => {};
  ask = (take: AskedTake) => void this.asked.set(take.id, take);
  drop = (id: number) => void this.asked.delete(id);
  onHeard = (listener: (take: HeardTake) => void) => {
    this.#tell = listener;
    return () => (this.#tell = () => {});
  };
  onLost = () => () => {};
  close = () => {};

  /** Both changes of the unit, at these offsets. */
  hear(id: number, offsets: readonly number[], missing = 0, peak = 0.4): void {
    const findings = {
      tuning: 0,
      peak,
      clipped: 0,
      clicksHeard: false,
      lost: 0,
      length: 10,
      shift: 0,
    };
    const changes = offsets.map(change);
    this.#tell({ id, missing, heard: { kind: 'chords', changes, findings } });
  }
}

const change = (offset: number, i: number): ChangeHeard => ({
  ...{ bar: i, change: i, from: i === 0 ? '' : 'G', to: i === 0 ? 'G' : 'D', offset },
  timing: Math.abs(offset) <= 35 ? 'on-time' : offset < 0 ? 'early' : 'late',
  chord: 'right',
  confidence: 1,
});

async function logOf(stage: Stage) {
  await settled();
  return settle(stage.services.logged);
}

async function begun(measured = true, trip = { seconds: 0.05, measured }) {
  const stage = new Stage();
  const analysis = new FakeAnalysis();
  const ear = new ClimbEar(stage.climb, analysis, {
    rule: USUAL_RULE,
    rate: RATE,
    roundTrip: () => ({ ...trip }),
  });
  await stage.climb.go();
  return { stage, analysis, ear };
}

describe('the ear of a climb', () => {
  it('asks for each lap as it is handed over, later by the round trip', async () => {
    const { analysis, stage } = await begun();
    // 0.3 s before the lap begins; count-in, unit and 0.4 s at 60 bpm: 4 + 8 + 0.4 s after.
    expect(analysis.asked.get(1)!.from / RATE).toBeCloseTo(T0 + 0.05 - 0.3, 4);
    expect(analysis.asked.get(1)!.to / RATE).toBeCloseTo(T0 + 0.05 + 12.4, 4);
    stage.to(T0 + 0.1);
    expect([...analysis.asked.keys()]).toEqual([1, 2]);
  });

  it('judges the pass in its rest bars, and the ladder moves', async () => {
    const { analysis, stage, ear } = await begun();
    stage.to(T0 + 12.3);
    analysis.hear(1, [10, -20]);
    expect(ear.latest).toMatchObject({ pass: 1, verdict: 'clean', held: 2, judged: 2 });
    await settled();
    expect(stage.climb.lastJudged).toMatchObject({ number: 1, verdict: 'clean', source: 'ear' });
    expect(stage.player.kept.at(-1)![0]).toBe(70);
    // The lap that was queued at the old tempo is asked for anew at the new one.
    expect(analysis.asked.get(2)!.job).toMatchObject({ expectation: { beat: 60 / 70 } });
  });

  it('misses a pass whose change is later than the rule allows, and says by how much', async () => {
    const { analysis, stage, ear } = await begun();
    stage.to(T0 + 12.3);
    analysis.hear(1, [0, 140]);
    expect(ear.latest).toMatchObject({ verdict: 'missed', held: 1, relative: false });
  });

  it('takes the player’s word on one change, keeps it apart from what was heard, and lets it be taken back', async () => {
    const { analysis, stage, ear } = await begun();
    stage.to(T0 + 12.3);
    analysis.hear(1, [0, 140]);
    expect(stage.climb.asked?.pass).toBe(1);
    ear.uphold(1, 1, true);
    expect(ear.latest).toMatchObject({ verdict: 'clean', held: 2, played: [1], overruled: true });
    expect(reportWords(ear.latest!)).toBe('Clean by your word: 2 of 2 changes right.');
    expect(ear.latest!.heard[1]).toMatchObject({ offset: 140, timing: 'late' });
    expect(stage.climb.lastJudged).toMatchObject({ verdict: 'clean', source: 'self' });
    expect(stage.climb.asked).toBeNull();
    ear.uphold(1, 1, false);
    expect(ear.latest).toMatchObject({ verdict: 'missed', held: 1, played: [], overruled: false });
    expect(stage.climb.lastJudged).toMatchObject({ verdict: 'missed', source: 'ear' });
    const passes = await logOf(stage);
    expect(passes).toMatchObject([{ verdict: 'missed', source: 'ear' }]);
    expect(passes[0]).not.toHaveProperty('played');
  });

  it('keeps the word on a change through later words on its pass', async () => {
    const { analysis, stage, ear } = await begun();
    stage.to(T0 + 12.3);
    analysis.hear(1, [0, 140]);
    ear.uphold(1, 1, true);
    expect((await logOf(stage))[0]).toMatchObject({
      ...{ verdict: 'clean', source: 'self', earVerdict: 'missed', played: [1] },
      changes: [{}, { offset: 140, timing: 'late' }],
    });
    stage.climb.undo();
    expect((await logOf(stage))[0]).toMatchObject({ verdict: 'unjudged', played: [1] });
  });

  it('asks no more whether it broke at a change that the player upholds', async () => {
    const { analysis, stage, ear } = await begun();
    stage.to(T0 + 12.3);
    analysis.hear(1, [130, 140]);
    expect(stage.climb.asked?.place).toMatchObject({ change: 1 });
    ear.uphold(1, 1, true);
    expect(ear.latest).toMatchObject({ verdict: 'missed', played: [1] });
    expect(stage.climb.asked).toMatchObject({ pass: 1, place: null });
  });

  it('lets a verdict stand whose time is over, and says no other', async () => {
    const { analysis, stage, ear } = await begun();
    stage.to(T0 + 12.3);
    analysis.hear(1, [0, 140]);
    stage.climb.take();
    await settled();
    // The next pass is over, and nothing was heard of it yet.
    stage.to(stage.player.clock + 30);
    expect(stage.climb.undoable).toBe(false);
    ear.uphold(1, 1, true);
    expect(ear.latest).toMatchObject({ verdict: 'missed', played: [1], overruled: false });
    expect((await logOf(stage))[0]).toMatchObject({ verdict: 'missed', played: [1] });
  });

  it('gives no verdict on a pass with lost sound or a stumbling output, and says why', async () => {
    const { analysis, stage, ear } = await begun();
    stage.to(T0 + 6).player.trouble({ kind: 'underrun', at: T0 + 6, lost: 0.05 });
    stage.to(T0 + 12.3);
    analysis.hear(1, [0, 0]);
    expect(ear.latest).toMatchObject({ verdict: null, problems: [{ code: 'ear-underrun' }] });
    stage.to(T0 + 28.3);
    analysis.hear(2, [0, 0], 0.1);
    expect(ear.latest).toMatchObject({ verdict: null, problems: [{ code: 'ear-lost-sound' }] });
    expect(stage.climb.lastJudged).toBeUndefined();
  });

  it('does not call a muted microphone a missed pass', async () => {
    const { analysis, stage, ear } = await begun();
    stage.to(T0 + 12.3);
    analysis.hear(1, [0, 300], 0, 0);
    expect(ear.latest).toMatchObject({ verdict: null, problems: [{ code: 'ear-silence' }] });
  });

  it('takes the player’s own middle for zero where the round trip is not known', async () => {
    const { analysis, stage, ear } = await begun(false);
    stage.to(T0 + 12.3);
    analysis.hear(1, [90, 110]);
    expect(ear.latest!.changes.map((c) => c.offset)).toEqual([-10, 10]);
    expect(ear.latest).toMatchObject({ verdict: 'clean', relative: true });
  });

  it('forgets what was halted, and leaves a pass alone that is taken up in its middle', async () => {
    const { analysis, stage } = await begun();
    stage.to(T0 + 9);
    stage.climb.pause('player');
    expect(analysis.asked.size).toBe(0);
    await stage.climb.go();
    expect(analysis.asked.has(1)).toBe(false);
  });

  it('finds the change that keeps breaking', async () => {
    const { analysis, stage, ear } = await begun();
    for (const pass of [1, 2, 3]) {
      expect(ear.weakest).toBeUndefined();
      const from = stage.player.laps.at(-1)!.startsAt;
      stage.to(from + 12.3);
      analysis.hear(pass, [0, 200]);
      // The partner would lead to a drill; this time it is the same again.
      stage.climb.take('again');
    }
    expect(ear.weakest).toMatchObject({ from: 'G', to: 'D', bar: 1, broke: 3, heard: 3 });
  });

  it('judges no pass in which the devices changed', async () => {
    const trip = { seconds: 0.05, measured: true };
    const { analysis, stage, ear } = await begun(true, trip);
    stage.to(T0 + 12.3);
    Object.assign(trip, { seconds: 0.2, measured: false });
    analysis.hear(1, [150, 150]);
    expect(ear.latest).toMatchObject({ verdict: null, trusted: false, relative: false });
    expect(ear.latest!.problems).toMatchObject([{ code: 'ear-other-devices' }]);
    expect(stage.climb.awaited?.number).toBe(1);
  });

  it('asks for each lap by the round trip of its moment', async () => {
    const trip = { seconds: 0.05, measured: true };
    const { analysis, stage } = await begun(true, trip);
    Object.assign(trip, { seconds: 0.2, measured: false });
    stage.to(T0 + 0.1);
    // The second lap begins 16 s after the first; each is listened to from 0.3 s before it comes back in.
    expect(analysis.asked.get(1)!.from / RATE).toBeCloseTo(T0 + 0.05 - 0.3, 4);
    expect(analysis.asked.get(2)!.from / RATE).toBeCloseTo(T0 + 16 + 0.2 - 0.3, 4);
  });

  it('hears no more once it is ended', async () => {
    const { analysis, stage, ear } = await begun();
    ear.end();
    stage.to(T0 + 12.3);
    analysis.hear(1, [0, 0]);
    expect(ear.latest).toBeUndefined();
    expect(stage.climb.awaited?.number).toBe(1);
  });
});
