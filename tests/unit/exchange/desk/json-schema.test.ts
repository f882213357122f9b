// The published JSON Schemas are those the readers check, and an independent validator agrees with them.
// `vitest -u` writes assets/schemas anew after a change of form.
import { Ajv2020 } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import { format } from 'prettier';
import { describe, expect, it } from 'vitest';
import { jsonSchemas } from '../../../support/json-schema.ts';
import { writeReport } from '../../../../app/core/exchange/desk/report.ts';
import { writeTaskSheet } from '../../../../app/core/exchange/desk/task-sheet.ts';
import { reportOf, sheet } from './example.ts';

const files = {
  'task-sheet.schema.json': writeTaskSheet(sheet),
  'practice-report.schema.json': writeReport(reportOf()),
};

describe.each(Object.entries(files))('%s', (name, text) => {
  const schema = jsonSchemas()[name]!;
  // ajv 8 (general-purpose JSON Schema validator), draft 2020-12.
  const ajv = new Ajv2020({ strict: false, allErrors: true });
  addFormats.default(ajv);
  const valid = ajv.compile(schema);

  it('is the one under assets/schemas', async () => {
    const text = await format(JSON.stringify(schema), { parser: 'json', printWidth: 100 });
    await expect(text).toMatchFileSnapshot(`../../../../assets/schemas/${name}`);
  });

  it('accepts what the program writes', () => {
    const accepted = valid(JSON.parse(text));
    expect(valid.errors ?? []).toEqual([]);
    expect(accepted).toBe(true);
  });

  it('refuses another version, a foreign key and a date that is none', () => {
    const file = JSON.parse(text) as Record<string, unknown>;
    expect(valid({ ...file, schemaVersion: 9 })).toBe(false);
    expect(valid({ ...file, extra: 1 })).toBe(false);
    expect(valid({ ...file, written: '2031-02-30T10:00:00Z' })).toBe(false);
  });
});
