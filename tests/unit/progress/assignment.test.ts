// Assignments: given per unit or for a whole chart, revised with their history kept.
import { describe, expect, it } from 'vitest';
import { demoNamed } from '../../support/demo.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { assign, canonical, revise } from '../../../app/core/progress/assignment.ts';
import { assignmentSchema } from '../../../app/core/progress/desk-schema.ts';

const chart = demoNamed('low-tide-lanterns');
const giving = { at: '2031-04-01T10:00:00Z', by: 'Ms Tern', newId: () => crypto.randomUUID() };
const all = assign(chart, listUnits(chart), { ...giving, due: '2031-05-01' });

describe('assign', () => {
  it('gives every unit of a chart its own target and one date', () => {
    expect(all.length).toBeGreaterThan(3);
    expect(new Set(all.map(({ id }) => id)).size).toBe(all.length);
    expect(all.every(({ terms }) => terms.due === '2031-05-01')).toBe(true);
    expect(all[0]!.terms.rules.target).toBe(listUnits(chart)[0]!.tempo.bpm);
    for (const one of all) expect(assignmentSchema.safeParse(one).error).toBeUndefined();
  });
});

describe('revise', () => {
  const [one] = all;
  it('keeps the terms that held until then', () => {
    const terms = { ...one!.terms, due: '2031-06-01' };
    expect(revise(one!, terms, '2031-04-20T10:00:00Z')).toMatchObject({
      terms: { due: '2031-06-01' },
      earlier: [{ until: '2031-04-20T10:00:00Z', terms: { due: '2031-05-01' } }],
    });
  });

  it('changes nothing when the terms are the same', () => {
    expect(revise(one!, structuredClone(one!.terms), '2031-04-20T10:00:00Z')).toBe(one);
  });
});

it('canonical text does not depend on the order of keys', () => {
  expect(canonical({ a: 1, b: { d: undefined, c: [2] } })).toBe(canonical({ b: { c: [2] }, a: 1 }));
});
