// The choices of a lap in words: count-in, click pattern, subdivision, cue.
import { rational } from '../../../app/core/base/rational.ts';
import type { ClickTimbre } from '../../../app/core/timeline/click-voices.ts';
import type { ClickPattern, CountIn, LapOptions } from '../../../app/core/timeline/model.ts';
import { choicesOf } from '../../page/choices.ts';

export const countIns = choicesOf<CountIn>({
  one: 'One bar',
  two: 'Two bars',
  'half-then-full': 'Two bars: half, then full',
  none: 'None',
});

/** What a click pattern is called, what it asks of the player, and the numbers it starts with. */
interface Click<P extends ClickPattern> {
  readonly label: string;
  readonly says: string;
  readonly usual: P;
}

export const clicks: {
  readonly [K in ClickPattern['kind']]: Click<Extract<ClickPattern, { kind: K }>>;
} = {
  'every-beat': {
    label: 'Every beat',
    says: 'Every beat clicks.',
    usual: { kind: 'every-beat' },
  },
  'two-and-four': {
    label: 'Two and four',
    says: 'Only beats two and four click.',
    usual: { kind: 'two-and-four' },
  },
  'off-beats': {
    label: 'Off-beats',
    says: 'The click falls between the beats.',
    usual: { kind: 'off-beats' },
  },
  'bar-starts': {
    label: 'Bar starts',
    says: 'One click at the start of each bar.',
    usual: { kind: 'bar-starts' },
  },
  gaps: {
    label: 'Silent bars',
    says: 'Now and then a bar is silent; you keep the beat.',
    usual: { kind: 'gaps', every: 4 },
  },
  'growing-gaps': {
    label: 'Growing silence',
    says: 'Each silence is one bar longer than the one before.',
    usual: { kind: 'growing-gaps', sounding: 2, longest: 4 },
  },
  displaced: {
    label: 'Displaced',
    says: 'Every click comes late by a part of a quarter; you hold the beat against it.',
    usual: { kind: 'displaced', by: rational(1, 2) },
  },
};

export const clickKinds = (Object.keys(clicks) as ClickPattern['kind'][]).map((value) => ({
  value,
  label: clicks[value].label,
}));

export const timbres = choicesOf<ClickTimbre>({ wood: 'Wood', glass: 'Glass', skin: 'Skin' });

export const restSounds = choicesOf<NonNullable<LapOptions['rest']>>({
  soft: 'Soft brush',
  silent: 'Silent',
});

export const subdivisions = [
  { value: 1, label: 'None' },
  { value: 2, label: 'Halves' },
  { value: 3, label: 'Thirds' },
  { value: 4, label: 'Quarters' },
] as const;

/** Displacements offered, in quarter notes. */
export const displacements = [
  { value: '1/4', label: 'a sixteenth', by: rational(1, 4) },
  { value: '1/3', label: 'a triplet', by: rational(1, 3) },
  { value: '1/2', label: 'an eighth', by: rational(1, 2) },
  { value: '3/4', label: 'a dotted eighth', by: rational(3, 4) },
] as const;
