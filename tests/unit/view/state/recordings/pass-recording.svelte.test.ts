// The recording of one pass: which pass it is, when it begins and ends, and what becomes of the microphone.
import { describe, expect, it } from 'vitest';
import { fail, ok, type Problem } from '../../../../../app/core/base/result.ts';
import type { RecorderEars } from '../../../../../renderer/audio/capture/recorder.ts';
import {
  type Followed,
  PassRecording,
  type HeardPart,
} from '../../../../../renderer/state/recordings/pass-recording.svelte.ts';
import { SoundRecorder } from '../../../../../renderer/state/recordings/sound-recorder.svelte.ts';
import { fakeServices } from '../../../../support/fake-services.ts';
import { about } from '../../../../support/recordings.ts';
import { soon } from '../../../../support/soon.ts';

const noMicrophone: Problem = { code: 'no-microphone', message: 'None is there', cure: 'Plug.' };

function stage({ microphone = true, earOn = false, full = false } = {}) {
  const did: string[] = [];
  const said: string[] = [];
  let rings: (() => void) | undefined;
  const note = { ...about, id: 'r-1', at: '2031-04-05T18:20:00Z' };
  const kept = { note, file: 'a.webm', bytes: 3, state: 'whole' as const };
  const services = fakeServices({
    answers: {
      'recordings.begin': () => (full ? fail(noMicrophone) : ok(kept)),
      'recordings.add': () => ok(null),
      'recordings.end': () => ok(kept),
    },
  });
  let ears: RecorderEars | undefined;
  const messages = {
    say: (words: string) => void said.push(words),
    refuse: (all: readonly Problem[]) => void said.push(...all.map(({ code }) => code)),
  };
  const recorder = new SoundRecorder({
    ...{ services, messages, now: () => 0, everySecond: () => () => undefined },
    kind: () => 'webm',
    start: (_, kind, given) => {
      ears = given;
      did.push('start');
      return {
        kind,
        pause: () => void did.push('pause'),
        resume: () => void did.push('resume'),
        stop: async () => void did.push('stop'),
      };
    },
    kept: () => undefined,
  });
  const stream = { getTracks: () => [{ stop: () => did.push('let go') }] };
  const capture = { branch: () => stream };
  const recording = new PassRecording({
    ear: {
      listen: async () => (microphone ? capture : undefined),
      problems: [noMicrophone],
    } as never,
    hearing: { rest: () => void did.push('rest') },
    settings: { now: { ear: { on: earOn } } } as never,
    ...{ messages, recorder },
    later: (_, action) => ((rings = action), () => (rings = undefined)),
  });
  const { chart, unit, tempo } = about;
  const climb = (phase: Followed['phase'] = 'playing', id = 'c-1') =>
    ({
      ...{ id, phase, bpm: tempo.bpm, passId: (pass: number) => `pass-${pass}` },
      setup: { chart, unit, rules: { beat: tempo.beat } },
    }) as Followed;
  const hear = (part: HeardPart['part'], pass: number, bpm = 92) =>
    recording.follow(climb(), { part, pass, bpm });
  return {
    ...{ recording, recorder, did, said, climb, hear },
    hears: (text: string) => ears!.onStretch(new Blob([text])),
    ring: () => rings?.(),
    sent: (name: string) => services.calls.filter((call) => call.name === name),
    at: (part: HeardPart['part'], pass: number) => recording.toggle({ part, pass, bpm: 92 }),
  };
}

describe('the recording of one pass', () => {
  it('is of the next pass where one sounds already, from the rest bars before it to its last ring', async () => {
    const { recorder, did, said, hear, at, ring, sent } = stage();
    await at('unit', 3);
    expect(said[0]).toContain('ask them first');
    hear('unit', 3);
    expect(sent('recordings.begin')).toEqual([]);
    hear('rest', 3);
    await soon(() => expect(recorder.on).toBe(true));
    expect(sent('recordings.begin')[0]!.input).toMatchObject({
      about: { climb: 'c-1', pass: 'pass-4' },
    });
    // The verdict on pass 3 moved the rung: the tempo is the one that is heard.
    hear('unit', 4, 97);
    hear('rest', 4, 97);
    expect(recorder.on).toBe(true);
    ring();
    await soon(() => expect(sent('recordings.end')).toHaveLength(1));
    expect(sent('recordings.end')[0]!.input).toMatchObject({ tempo: { bpm: 97, beat: 'quarter' } });
    await soon(() => expect(said.at(-1)).toBe('Pass 4 was recorded. It is kept in History.'));
    expect(did).toEqual(['rest', 'start', 'stop']);
  });

  it('is of the pass that is counted in, and of no other after it', async () => {
    const { recording, recorder, hear, at, ring, sent } = stage();
    await at('count-in', 1);
    hear('count-in', 1);
    await soon(() => expect(recorder.on).toBe(true));
    hear('unit', 1);
    hear('rest', 1);
    ring();
    await soon(() => expect(recorder.on).toBe(false));
    hear('unit', 2);
    hear('rest', 2);
    expect(recording.wanted).toBe(false);
    expect(sent('recordings.begin')).toHaveLength(1);
  });

  it('rests while the climb rests, or while another climb is on the stage', async () => {
    const { recording, recorder, did, hear, at, climb } = stage();
    await at('count-in', 1);
    hear('count-in', 1);
    await soon(() => expect(recorder.on).toBe(true));
    recording.follow(climb('paused'), undefined);
    expect(recorder.paused).toBe(true);
    hear('unit', 1);
    expect(recorder.paused).toBe(false);
    recording.follow(climb('playing', 'a drill'), { part: 'unit', pass: 1, bpm: 60 });
    expect(recorder.paused).toBe(true);
    expect(did.filter((one) => one === 'stop')).toEqual([]);
  });

  it('is kept as far as it came where the stage is left', async () => {
    const { recording, recorder, hear, at, hears, sent } = stage();
    await at('count-in', 1);
    hear('count-in', 1);
    await soon(() => expect(recorder.on).toBe(true));
    hears('some sound');
    recording.leave();
    await soon(() => expect(sent('recordings.end')).toHaveLength(1));
    expect(recorder.on).toBe(false);
  });

  it('is called off, and the microphone let go, by a second press and at the end of the climb', async () => {
    const { recording, did, said, at, climb } = stage({ earOn: true });
    await at('unit', 1);
    await at('unit', 1);
    expect([recording.wanted, did]).toEqual([false, ['let go']]);
    expect(said.at(-1)).toBe('The next pass will not be recorded.');
    await at('unit', 1);
    recording.follow(climb('finished'), undefined);
    expect([recording.wanted, did]).toEqual([false, ['let go', 'let go']]);
  });

  it('ends by the press that would begin one, and is kept', async () => {
    const { recording, recorder, hear, at, sent } = stage();
    await at('count-in', 1);
    hear('count-in', 1);
    await soon(() => expect(recorder.on).toBe(true));
    await at('unit', 1);
    expect([recorder.on, recording.wanted]).toEqual([false, false]);
    expect(sent('recordings.end')).toHaveLength(1);
  });

  it('wanted in the set-up, is of the first pass', async () => {
    const { recording, recorder, hear, sent } = stage();
    recording.want(true);
    hear('count-in', 1);
    await soon(() => {
      hear('count-in', 1);
      expect(recorder.on).toBe(true);
    });
    expect(sent('recordings.begin')[0]!.input).toMatchObject({ about: { pass: 'pass-1' } });
  });

  it('is not made without a microphone or room, which is said once', async () => {
    const none = stage({ microphone: false });
    await none.at('unit', 1);
    expect([none.recording.wanted, none.said]).toEqual([false, ['no-microphone']]);
    const full = stage({ full: true });
    await full.at('count-in', 1);
    full.hear('count-in', 1);
    await soon(() => expect(full.said.at(-1)).toBe('no-microphone'));
    full.hear('rest', 1);
    expect(full.sent('recordings.end')).toEqual([]);
  });
});
