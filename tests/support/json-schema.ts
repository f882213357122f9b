// The open forms of task sheet and practice report as JSON Schema, generated from what the readers check.
import { z } from 'zod';
import type { FileForm } from '../../app/core/exchange/desk/envelope.ts';
import { reportForm } from '../../app/core/exchange/desk/report.ts';
import { taskSheetForm } from '../../app/core/exchange/desk/task-sheet.ts';

/** JSON Schema, draft 2020-12, by file name. Rules that no schema can say (unique ids, a chart's form) stay with the readers. */
export const jsonSchemas = (): Readonly<Record<string, object>> => ({
  'task-sheet.schema.json': schemaOf(taskSheetForm),
  'practice-report.schema.json': schemaOf(reportForm),
});

function schemaOf<T>({ format, name, schemaVersion, schema }: FileForm<T>): object {
  const { $schema, properties, required, ...rest } = z.toJSONSchema(schema, {
    io: 'input',
    unrepresentable: 'any',
    reused: 'ref',
    // "readonly" is a matter of our types, not of the file.
    override: ({ jsonSchema }) => {
      delete jsonSchema.readOnly;
    },
  });
  return {
    $schema,
    title: format,
    description: `The form of ${name}, version ${schemaVersion}. Times are ISO 8601 with offset, positions quarter notes as {n, d}, frets from string 6 to string 1.`,
    ...rest,
    properties: {
      format: { const: format },
      schemaVersion: { const: schemaVersion },
      ...properties,
    },
    required: ['format', 'schemaVersion', ...(required ?? [])],
  };
}
