// The parts of a lead line as they are played: written ones checked, derived ones computed and fingered.
import { checkPart } from './check.ts';
import { derive, type LeadKey } from './derive.ts';
import type { Derivation, Lead, LeadBar, LeadPart } from '../model/lead.ts';
import { toPitches } from './pitched.ts';
import type { Tuning } from '../model/chart.ts';
import type { Rational } from '../base/rational.ts';
import { ok, type Problem, type Result } from '../base/result.ts';
import type { Fret, Midi } from '../base/units.ts';
import { liftOf } from '../fretboard/capo.ts';
import { USUAL_NECK } from '../fretboard/geometry.ts';
import { fingerings, type FingeredLead } from './fingering.ts';
import type { LeadProblem } from './notation.ts';
import type { LeadNeck } from './places.ts';

export interface PlayedPart {
  readonly name: string;
  readonly bars: readonly LeadBar[];
}

/** What of a chart a lead depends on. */
export interface LeadSetting {
  readonly tuning: Tuning;
  readonly capo: Fret;
  readonly key?: string;
}

export interface RealisedLead {
  /** Parts that can be played, in the order of the lead; the others have problems. */
  readonly parts: readonly PlayedPart[];
  readonly problems: readonly PartProblem[];
}

/** `part` is the index of the part in its lead. */
export interface PartProblem extends LeadProblem {
  readonly part: number;
}

/** Frets of a usual neck, no source: acoustic guitars have about 20, electric ones 21 to 24. */
const NECK_FRETS: Fret = 22;

/** Open strings as they sound above the capo, and the neck that is left there. */
export const leadNeck = ({ tuning, capo }: Pick<LeadSetting, 'tuning' | 'capo'>): LeadNeck => ({
  ...USUAL_NECK,
  capo,
  open: tuning.strings.map((pitch): Midi => pitch + capo),
  frets: NECK_FRETS - capo,
});

const keyOf = (setting: LeadSetting): LeadKey => ({ key: setting.key, lift: liftOf(setting) });

/**
 * @param lengths Of the section's bars from the lead's first bar on, in quarter notes.
 * A part that cannot be played is left out and named; the other parts stay usable.
 */
export function realiseLead(
  lead: Lead,
  setting: LeadSetting,
  lengths: readonly Rational[],
): RealisedLead {
  const parts: PlayedPart[] = [];
  const problems: PartProblem[] = [];
  lead.parts.forEach((part, index) => {
    const found = realisePart(part, parts, setting, lengths, `‘${lead.name}’, ${part.name}`);
    if ('bars' in found) parts.push({ name: part.name, bars: found.bars });
    else problems.push(...found.problems.map((problem) => ({ ...problem, part: index })));
  });
  return { parts, problems };
}

type Found = { readonly bars: readonly LeadBar[] } | { readonly problems: readonly LeadProblem[] };

function realisePart(
  part: LeadPart,
  known: readonly PlayedPart[],
  setting: LeadSetting,
  lengths: readonly Rational[],
  place: string,
): Found {
  const neck = leadNeck(setting);
  if (part.kind === 'written') {
    const limits = { strings: neck.open.length, frets: neck.frets };
    const problems = checkPart(part.bars, lengths, place, limits);
    return problems.length > 0 ? { problems } : { bars: part.bars };
  }
  const source = known.find((other) => other.name === part.from);
  if (!source) return { problems: [noSource(place, part.from)] };
  const moved = derive(toPitches(source.bars, neck.open), part.by, keyOf(setting));
  if (!moved.ok) return moved;
  const ways = fingerings(moved.value, neck, place, 1);
  return ways.ok ? { bars: ways.value[0]!.bars } : ways;
}

const noSource = (place: string, from: string): Problem => ({
  code: 'lead-source',
  message: `${place} follows ‘${from}’, which is no playable part above it`,
  cure: 'Name a part that stands above it and has no problems of its own.',
});

/**
 * Where a part can be taken, cheapest first, with fingers and with what each way costs; moved by an octave
 * or a scale interval first if asked. Fails where it leaves the neck, or where the key is not known.
 */
export function placesFor(
  part: PlayedPart,
  setting: LeadSetting,
  by?: Derivation,
): Result<readonly FingeredLead[]> {
  const neck = leadNeck(setting);
  const pitches = toPitches(part.bars, neck.open);
  const moved = by ? derive(pitches, by, keyOf(setting)) : ok(pitches);
  return moved.ok ? fingerings(moved.value, neck, part.name) : moved;
}
