// What is said aloud: verdict, tempo, the section ahead; and nothing at all until it is wished.
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { hush, say, voices } from '../../../../renderer/input/speech.ts';
import { sectionAhead, spokenWords } from '../../../../renderer/state/climb/spoken.ts';
import { Played } from '../../ladder/example.ts';
import { unit } from '../state/climb/stage.ts';

const on = { on: true, voice: '', rate: 1.3 };

/** A machine that can speak, with one voice. */
class FakeSpeech extends EventTarget {
  readonly said: { text: string; rate: number; voice: string | undefined }[] = [];
  cancelled = 0;
  getVoices = () => [{ voiceURI: 'v1', name: 'Wren', lang: 'en-GB' }];
  speak = (u: { text: string; rate: number; voice: { name: string } | null }) =>
    this.said.push({ text: u.text, rate: u.rate, voice: u.voice?.name });
  cancel = () => this.cancelled++;
}

let speech: FakeSpeech;
beforeEach(() => {
  speech = new FakeSpeech();
  vi.stubGlobal('speechSynthesis', speech);
  vi.stubGlobal(
    'SpeechSynthesisUtterance',
    class {
      readonly text: string;
      constructor(text: string) {
        this.text = text;
      }
    },
  );
});
afterEach(() => vi.unstubAllGlobals());

describe('say', () => {
  it('speaks with the chosen voice and pace', () => {
    say('Clean.', { ...on, voice: 'v1' });
    expect(speech.said).toEqual([{ text: 'Clean.', rate: 1.3, voice: 'Wren' }]);
  });

  it('uses the usual voice where the chosen one is gone', () => {
    say('Clean.', { ...on, voice: 'gone' });
    expect(speech.said[0]?.voice).toBeUndefined();
  });

  it('is silent while it is off, and has nothing to say for nothing', () => {
    say('Clean.', { ...on, on: false });
    say('', on);
    expect(speech.said).toEqual([]);
  });

  it('does without a machine that can speak', () => {
    vi.stubGlobal('speechSynthesis', undefined);
    Reflect.deleteProperty(globalThis, 'speechSynthesis');
    expect(() => [say('Clean.', on), hush()]).not.toThrow();
    expect(voices()).toEqual([]);
  });
});

describe('what is said of a climb', () => {
  it('is the tempo, each verdict and each move', () => {
    const it = new Played({ start: 90 }).begin().rest('mcc');
    const said = it.effects.map((e) => spokenWords(e, it.state)).filter((words) => words !== '');
    expect(said).toEqual([
      '90 beats per minute.',
      'Missed.',
      'Clean.',
      'Up to 100.',
      'Clean.',
      'You reached the top of the ladder.',
    ]);
  });

  it('is the section ahead, one bar before it begins', () => {
    const [first, second] = unit.bars;
    const chorus = { ...first!, section: 'Chorus', bar: 1 };
    const bars = [first!, second!, chorus, { ...second!, section: 'Chorus' }];
    expect(bars.map((_, i) => sectionAhead(bars, i))).toEqual(['', 'Chorus', '', '']);
    expect(sectionAhead(bars, -1)).toBe('');
  });
});
