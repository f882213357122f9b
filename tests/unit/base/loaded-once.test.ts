// What is loaded once: whoever asks meanwhile waits for the same, and a failure is not for ever.
import { expect, it } from 'vitest';
import { LoadedOnce } from '../../../app/core/base/loaded-once.ts';

/** Loads the next of these each time; an error is a failure. */
function loading(...answers: readonly (string | Error)[]) {
  const left = [...answers];
  const load = async (): Promise<string> => {
    const answer = left.shift();
    if (typeof answer === 'string') return answer;
    throw answer ?? new Error('asked too often');
  };
  return new LoadedOnce(load);
}

it('loads when first asked for, and once', async () => {
  const thing = loading('first');
  expect(thing.asked).toBe(false);
  expect(await Promise.all([thing.get(), thing.get()])).toEqual(['first', 'first']);
  expect(thing.asked).toBe(true);
});

it('fails for all who wait, and tries again for whoever asks next', async () => {
  const thing = loading(new Error('away'), 'there');
  const both = await Promise.allSettled([thing.get(), thing.get()]);
  expect(both.map(({ status }) => status)).toEqual(['rejected', 'rejected']);
  expect(thing.asked).toBe(false);
  expect(await thing.get()).toBe('there');
});

it('is loaded anew only where it was asked for, and a failure then is not kept either', async () => {
  const thing = loading('first', new Error('away'), 'third');
  await thing.again();
  expect(thing.asked).toBe(false);
  expect(await thing.get()).toBe('first');
  await expect(thing.again()).rejects.toThrow('away');
  expect(await thing.get()).toBe('third');
});
