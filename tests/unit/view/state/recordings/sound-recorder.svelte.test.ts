// The recorder of a run-through: what it sends in which order, what it says when something fails, when it ends.
import { describe, expect, it } from 'vitest';
import { fail, ok, type Problem } from '../../../../../app/core/base/result.ts';
import { MAX_RECORDING } from '../../../../../app/core/model/limits.ts';
import type { RecorderEars } from '../../../../../renderer/audio/capture/recorder.ts';
import { SoundRecorder } from '../../../../../renderer/state/recordings/sound-recorder.svelte.ts';
import { fakeServices } from '../../../../support/fake-services.ts';
import { about } from '../../../../support/recordings.ts';
import { soon } from '../../../../support/soon.ts';

const full: Problem = { code: 'full', message: 'The disk is full', cure: 'Make room.' };

function world({ refuses = 99 } = {}) {
  let [clock, stretches] = [0, 0];
  let ears: RecorderEars | undefined;
  let tick = (): void => undefined;
  const did: string[] = [];
  const said: string[] = [];
  const note = { ...about, id: 'r-1', at: '2031-04-05T18:20:00Z' };
  const kept = { note, file: 'a.webm', bytes: 3, state: 'whole' as const };
  const services = fakeServices({
    answers: {
      'recordings.begin': () => ok(kept),
      'recordings.add': () => (++stretches > refuses ? fail(full) : ok(null)),
      'recordings.end': () => ok(kept),
    },
  });
  const recorder = new SoundRecorder({
    services,
    messages: { say: () => undefined, refuse: (all) => said.push(...all.map((one) => one.code)) },
    now: () => clock,
    everySecond: (listener) => ((tick = listener), () => undefined),
    kind: () => 'webm',
    start: (_, kind, given) => {
      ears = given;
      return {
        kind,
        pause: () => void did.push('pause'),
        resume: () => void did.push('resume'),
        stop: async () => void did.push('stop'),
      };
    },
    kept: () => undefined,
  });
  const stream = { getTracks: () => [{ stop: () => did.push('let go') }] } as never;
  return {
    ...{ recorder, did, said },
    begin: () => recorder.begin(stream, about),
    hears: (text: string) => ears!.onStretch(new Blob([text])),
    breaks: () => ears!.onBroken(),
    after: (seconds: number) => ((clock += seconds), tick()),
    sent: (name: string) => services.calls.filter((call) => call.name === name),
  };
}

describe('a recording of a run-through', () => {
  it('is not wanted until somebody says so', () => {
    expect(world().recorder.wanted).toBe(false);
  });

  it('sends its stretches in order, and ends with its length without pauses', async () => {
    const { recorder, begin, hears, after, sent } = world();
    await begin();
    hears('one');
    after(4);
    recorder.pause();
    after(60);
    recorder.resume();
    after(2);
    hears('three');
    await recorder.end();
    expect(sent('recordings.add').map(({ input }) => input)).toEqual([
      { id: 'r-1', from: 0, base64: btoa('one') },
      { id: 'r-1', from: 3, base64: btoa('three') },
    ]);
    expect(sent('recordings.end')).toMatchObject([{ input: { id: 'r-1', seconds: 6 } }]);
    expect([recorder.on, recorder.last]).toEqual([false, 'r-1']);
  });

  it('ends by itself where the machine refuses a stretch, and says why once', async () => {
    const { recorder, begin, hears, said, sent } = world({ refuses: 1 });
    await begin();
    for (const text of ['a', 'b', 'c', 'd']) hears(text);
    await soon(() => expect(sent('recordings.end')).toHaveLength(1));
    expect([recorder.on, said]).toEqual([false, ['full']]);
    expect(sent('recordings.add')).toHaveLength(2);
  });

  it('ends after the most that one may have, and when the microphone goes away', async () => {
    const long = world();
    await long.begin();
    long.after(MAX_RECORDING);
    await soon(() => expect([long.recorder.on, long.said]).toEqual([false, ['recording-long']]));
    const broken = world();
    await broken.begin();
    broken.breaks();
    await soon(() =>
      expect([broken.recorder.on, broken.said]).toEqual([false, ['recorder-broken']]),
    );
  });
});
