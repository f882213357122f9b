// Names from right to left are set apart from the sentence around them, and written plainly into files.
import { expect, it } from 'vitest';
import { setApart, withoutSigns } from '../../../renderer/page/direction.ts';

it.each(['Ada', 'Ælfgifu Ōkubo', 'Владимир', '美咲', ''])('leaves %j as it is', (name) => {
  expect(setApart(name)).toBe(name);
});

it.each(['ליאור', 'ليلى', 'Noor نور'])('sets %j apart, and back', (name) => {
  const apart = setApart(name);
  expect(apart).toBe(`\u2068${name}\u2069`);
  expect(withoutSigns(`${apart} (2)`)).toBe(`${name} (2)`);
});
