// Settings as earlier versions kept them.
import { expect, it } from 'vitest';
import { readSettings, usualSettings } from '../../../app/services/contract/settings.ts';

it('reads what version 0.1 called the lines of the model guitar as its leads', () => {
  const kept = { model: { heard: 'beside', chords: false, lines: 'own' } };
  expect(readSettings(kept)).toEqual({
    settings: { ...usualSettings, model: { heard: 'beside', chords: false, leads: 'own' } },
    problems: [],
  });
});

it('lets today’s word stand where both are kept, and names one that says neither', () => {
  const both = { heard: 'off', chords: true, lines: 'own', leads: 'none' };
  expect(readSettings({ model: both }).settings.model.leads).toBe('none');
  const neither = readSettings({ model: { heard: 'off', chords: true } });
  expect(neither.settings.model).toEqual(usualSettings.model);
  expect(neither.problems).toMatchObject([{ code: 'bad-setting' }]);
});
