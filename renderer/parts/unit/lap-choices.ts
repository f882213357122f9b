// The choices of a lap in words: count-in, click pattern, subdivision, cue.
import { rational } from '../../../app/core/base/rational.ts';
import type { ClickTimbre } from '../../../app/core/timeline/click-voices.ts';
import type { ClickPattern, CountIn } from '../../../app/core/timeline/model.ts';

export const countIns: readonly { readonly value: CountIn; readonly label: string }[] = [
  { value: 'one', label: 'One bar' },
  { value: 'two', label: 'Two bars' },
  { value: 'half-then-full', label: 'Two bars: half, then full' },
  { value: 'none', label: 'None' },
];

/** Each pattern with the numbers it starts with and what it asks of the player. */
export const clicks: readonly {
  readonly kind: ClickPattern['kind'];
  readonly label: string;
  readonly says: string;
  readonly usual: ClickPattern;
}[] = [
  {
    kind: 'every-beat',
    label: 'Every beat',
    says: 'Every beat clicks.',
    usual: { kind: 'every-beat' },
  },
  {
    kind: 'two-and-four',
    label: 'Two and four',
    says: 'Only beats two and four click.',
    usual: { kind: 'two-and-four' },
  },
  {
    kind: 'off-beats',
    label: 'Off-beats',
    says: 'The click falls between the beats.',
    usual: { kind: 'off-beats' },
  },
  {
    kind: 'bar-starts',
    label: 'Bar starts',
    says: 'One click at the start of each bar.',
    usual: { kind: 'bar-starts' },
  },
  {
    kind: 'gaps',
    label: 'Silent bars',
    says: 'Now and then a bar is silent; you keep the beat.',
    usual: { kind: 'gaps', every: 4 },
  },
  {
    kind: 'growing-gaps',
    label: 'Growing silence',
    says: 'Each silence is one bar longer than the one before.',
    usual: { kind: 'growing-gaps', sounding: 2, longest: 4 },
  },
  {
    kind: 'displaced',
    label: 'Displaced',
    says: 'Every click comes late by a part of a quarter; you hold the beat against it.',
    usual: { kind: 'displaced', by: rational(1, 2) },
  },
];

export const timbres: readonly { readonly value: ClickTimbre; readonly label: string }[] = [
  { value: 'wood', label: 'Wood' },
  { value: 'glass', label: 'Glass' },
  { value: 'skin', label: 'Skin' },
];

export const restSounds = [
  { value: 'soft', label: 'Soft brush' },
  { value: 'silent', label: 'Silent' },
] as const;

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
