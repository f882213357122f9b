// The player's settings: every field with its default, read one by one so that one bad value costs only itself.
import { checked } from '../../core/base/checked.ts';
import { own } from '../../core/base/own.ts';
import { z } from 'zod';
import { BARRES } from '../../core/units/hands/fewest-barres.ts';
import { USUAL_RULE } from '../../core/ear/verdict.ts';
import type { Problem } from '../../core/base/result.ts';
import { isoTime, lapOptionsSchema, shortText } from './schemas.ts';

const gain = z.number().min(0).max(1);

const latencySchema = z.object({
  /** Labels of the devices as the browser names them; '' is the default device. */
  input: z.string().max(400),
  output: z.string().max(400),
  milliseconds: z.number().min(-500).max(2000),
  /** Of these, what the browser reported of the output when it was measured. */
  reported: z.number().min(0).max(2000).optional(),
  measuredAt: isoTime,
});

/** When the ear calls a pass clean; see `VerdictRule`. */
const verdictRuleSchema = z.object({
  share: z.number().min(0.5).max(1),
  window: z.discriminatedUnion('kind', [
    z.object({ kind: z.literal('ms'), ms: z.number().min(10).max(500) }),
    z.object({ kind: z.literal('beat'), share: z.number().min(0.01).max(0.5) }),
  ]),
});

const named = z.looseObject({ id: shortText });

/** Version 0.1 says `lines` for the leads that the model guitar plays. */
const withLines = z.looseObject({ lines: z.unknown() });

function todaysModel(kept: unknown): unknown {
  const old = checked(withLines, kept);
  return old.success ? { leads: old.data.lines, ...old.data } : kept;
}

/** Schema of every setting; its usual value stands in {@link usualSettings}. */
const settingFields = {
  theme: z.enum(['system', 'light', 'dark']),
  reducedMotion: z.enum(['system', 'on', 'off']),
  leftHanded: z.boolean(),
  /** Are barred chords held as taught, or easier where an easier shape is taught? */
  barres: z.enum(BARRES),
  /** Output level of the whole program; starts quiet (care). */
  masterLevel: gain,
  /** Level of each voice by its name; a voice not listed keeps its own. */
  levels: z.record(shortText, gain),
  /** Action name → keys as `KeyboardEvent.key` or `code`; an action not listed keeps its usual keys. */
  keys: z.record(shortText, z.array(shortText).max(8)),
  /** Action name → MIDI message, e.g. `cc:64`, `note:36`, `program:1`. */
  pedals: z.record(shortText, z.array(shortText).max(8)),
  /** Measured round trips, one per pair of devices. */
  latencies: z.array(latencySchema).max(100),
  inputDevice: z.string().max(400),
  outputDevice: z.string().max(400),
  /** Names of the words of care and help that were shown already. */
  shown: z.array(shortText).max(200),
  speech: z.object({
    on: z.boolean(),
    voice: z.string().max(400),
    rate: z.number().min(0.5).max(2),
  }),
  /** Count-in, click and cue choices a new unit starts with; null is the program's own. */
  lapOptions: lapOptionsSchema.nullable(),
  /** The model guitar: off, beside the click, or alone after the count-in; and what of the chart it plays. */
  model: z.preprocess(
    todaysModel,
    z.object({
      heard: z.enum(['off', 'beside', 'alone']),
      chords: z.boolean(),
      leads: z.enum(['all', 'own', 'others', 'none']),
    }),
  ),
  /** Do drums and bass play along while climbing? */
  bandAlong: z.boolean(),
  breakReminderMinutes: z.number().min(5).max(120),
  /** What stands in the queue; each entry is checked where it is played. Null where none was ever kept. */
  queue: z
    .array(z.custom<{ readonly id: string }>((entry) => checked(named, entry).success))
    .max(500)
    .nullable(),
  ear: z.object({
    /** Does it listen while climbing? */
    on: z.boolean(),
    rule: verdictRuleSchema,
    /** Is the round trip measured anew whenever the microphone opens for a climb? */
    measures: z.boolean(),
  }),
} as const;

type Fields = typeof settingFields;
/** Settings after reading; keys this version does not know are kept beside them in the file. */
export type Settings = { readonly [K in keyof Fields]: z.output<Fields[K]> };

export const usualSettings: Settings = {
  theme: 'system',
  reducedMotion: 'system',
  leftHanded: false,
  barres: 'taught',
  masterLevel: 0.25,
  levels: {},
  keys: {},
  pedals: {},
  latencies: [],
  inputDevice: '',
  outputDevice: '',
  shown: [],
  speech: { on: false, voice: '', rate: 1 },
  lapOptions: null,
  model: { heard: 'off', chords: true, leads: 'all' },
  bandAlong: false,
  breakReminderMinutes: 25,
  queue: null,
  ear: { on: false, rule: USUAL_RULE, measures: false },
};

/** A change: the named settings only. Keys this version does not know are written as they come. */
export const settingsPatchSchema = z.looseObject(settingFields).partial();
export type SettingsPatch = Partial<Settings>;

export interface SettingsRead {
  readonly settings: Settings;
  /** One per value that could not be used; its default stands in and the file keeps the value. */
  readonly problems: readonly Problem[];
}

/** Settings out of whatever the file held. A bad value is named and its default used. */
export function readSettings(raw: Readonly<Record<string, unknown>>): SettingsRead {
  const problems: Problem[] = [];
  const settings = Object.fromEntries(
    Object.entries(settingFields).map(([key, field]) => {
      const usual = own<unknown>(usualSettings, key);
      const value = own(raw, key);
      if (value === undefined) return [key, usual];
      const parsed = checked(field, value);
      if (parsed.success) return [key, parsed.data];
      problems.push(badSetting(key, parsed.error));
      return [key, usual];
    }),
  ) as Settings;
  return { settings, problems };
}

function badSetting(key: string, error: z.ZodError): Problem {
  return {
    code: 'bad-setting',
    message: `The setting ‘${key}’ could not be used: ${error.issues[0]?.message ?? 'it is malformed'}.`,
    cure: 'Its usual value is in force; choose it again under Sound and care.',
  };
}
