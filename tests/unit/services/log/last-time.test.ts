// What moved on the last practice day, by hand-made days.
import { expect, it } from 'vitest';
import type { PassRecord } from '../../../../app/core/model/pass.ts';
import { fakeServices } from '../../../support/fake-services.ts';

const lastTime = (units: readonly (readonly PassRecord[])[]) => {
  const services = fakeServices();
  for (const one of units.flat())
    services.logged.push({
      kind: 'pass',
      pass: one,
      unit: { fingerprint: one.unit.fingerprint, bars: [] },
    });
  return services.call('log.lastTime', {});
};

let id = 0;
const pass = (
  unit: string,
  at: string,
  bpm: number,
  verdict: PassRecord['verdict'],
): PassRecord => ({
  ...{ id: `p${++id}`, session: 's', climb: 'c', at: `${at}T18:00:00Z`, duration: 8, cold: false },
  ...{
    chart: { id: 'k', title: 'Rain' },
    unit: { key: `section:${unit}`, name: unit, fingerprint: unit },
  },
  ...{ rung: { bpm, beat: 'quarter', index: 0, of: 1, target: 100 }, verdict, source: 'self' },
});

it('sets the fastest clean pass of the last day against the day before it was played', async () => {
  const verse = [
    pass('Verse', '2031-04-01', 54, 'clean'),
    pass('Verse', '2031-04-01', 60, 'missed'),
    pass('Verse', '2031-04-03', 57, 'clean'),
    pass('Verse', '2031-04-03', 60, 'clean'),
  ];
  const chorus = [
    pass('Chorus', '2031-04-02', 80, 'clean'),
    pass('Chorus', '2031-04-03', 76, 'clean'),
    pass('Chorus', '2031-04-03', 80, 'unjudged'),
  ];
  const idle = [
    pass('Bridge', '2031-03-01', 50, 'clean'),
    pass('Bridge', '2031-03-02', 90, 'clean'),
  ];
  expect(await lastTime([verse, chorus, idle])).toEqual({
    date: '2031-04-03',
    judged: 3,
    clean: 3,
    first: false,
    gains: [{ chart: 'Rain', unit: 'Verse', beat: 'quarter', from: 54, to: 60 }],
  });
});

it('has no gain where nothing was clean before, and nothing to say of an empty log', async () => {
  expect(await lastTime([])).toBeNull();
  const fresh = [
    pass('Verse', '2031-04-01', 60, 'missed'),
    pass('Verse', '2031-04-03', 60, 'clean'),
  ];
  expect(await lastTime([fresh])).toMatchObject({ first: false, gains: [] });
});

it('knows a first day, on which nothing can have moved', async () => {
  const day = [pass('Verse', '2031-04-01', 60, 'clean'), pass('Verse', '2031-04-01', 70, 'clean')];
  expect(await lastTime([day, [pass('Chorus', '2031-04-01', 50, 'missed')]])).toMatchObject({
    ...{ first: true, judged: 3, clean: 2, gains: [] },
  });
});
