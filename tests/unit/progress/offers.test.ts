// What is offered to be set next: the songs a student is at first, and of each what comes next in its order.
import { describe, expect, it } from 'vitest';
import { assign, type Student } from '../../../app/core/progress/assignment.ts';
import { chartOffers, unitOffers } from '../../../app/core/progress/offers.ts';
import { stepsOf } from '../../../app/core/progress/setting.ts';
import { TEMPLATES } from '../../../app/core/progress/template.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { demoNamed } from '../../support/demo.ts';
import { emptyDesk } from '../exchange/desk/example.ts';

const tide = demoNamed('low-tide-lanterns');
const kettle = demoNamed('rain-on-the-kettle');
const streetcar = demoNamed('paper-streetcar');
const all = [tide, kettle, streetcar];
const order = stepsOf(tide, TEMPLATES[0]).map(({ unit }) => unit);

const having = (...given: readonly (readonly [chart: typeof tide, key: string, at: string])[]) =>
  ({
    ...emptyDesk,
    assignments: given.flatMap(([chart, key, at], i) =>
      assign(
        chart,
        listUnits(chart).filter((unit) => unit.key === key),
        { at, by: 'Ms Tern', newId: () => `set-${i}` },
      ),
    ),
  }) satisfies Student;

describe('charts', () => {
  it('keep their order where nothing is set', () => {
    expect(chartOffers(emptyDesk, all)).toEqual({ at: [], others: all });
  });
  it('begin with the one of which something was set last', () => {
    const student = having(
      [streetcar, listUnits(streetcar)[0]!.key, '2031-04-01T10:00:00+02:00'],
      [kettle, listUnits(kettle)[0]!.key, '2031-04-01T09:30:00+01:00'], // half an hour later
    );
    expect(chartOffers(student, all)).toEqual({ at: [kettle, streetcar], others: [tide] });
    const [first, ...rest] = student.assignments;
    const withdrawn = { ...first!, withdrawn: '2031-04-02T10:00:00+02:00' };
    const { at } = chartOffers({ ...student, assignments: [withdrawn, ...rest] }, all);
    expect(at).toEqual([kettle]);
  });
});

describe('parts of a chart', () => {
  it('begin with the first thing of the order in which the song is learnt', () => {
    const { next, rest } = unitOffers(emptyDesk, tide);
    expect(next.map(({ unit }) => unit.key)).toEqual(order.map(({ key }) => key));
    expect(next.length + rest.length).toBe(listUnits(tide).length);
  });
  it('go on after the last thing that is set, and come back to what was passed over', () => {
    const at = order.findIndex(({ ref }) => ref.kind === 'section');
    const student = having([tide, order[at]!.key, '2031-04-01T10:00:00Z']);
    const { next, rest } = unitOffers(student, tide);
    expect(next[0]!.unit.key).toBe(order[at + 1]!.key);
    expect(next.at(-1)!.unit.key).toBe(order[at - 1]!.key);
    expect(rest.map(({ key }) => key)).toContain(order[at]!.key);
  });
});
