// The names of the click voices and of the sounds they come in: pulse first, then what is laid over it.

/**
 * The pulse, in the order in which one takes the place of another at the same moment. The count-in and
 * the rest bars have voices of their own, so that the ear knows where it is without looking.
 */
export const PULSE_VOICES = [
  'entrance',
  'count',
  'bar',
  'group',
  'beat',
  'rest',
  'subdivision',
] as const;
/** Laid over the pulse, never in its place; where both fall on one moment the change alone. */
export const MARK_VOICES = ['change', 'cue'] as const;

export const CLICK_VOICES = [...PULSE_VOICES, ...MARK_VOICES] as const;

export type PulseVoice = (typeof PULSE_VOICES)[number];
export type ClickVoice = (typeof CLICK_VOICES)[number];

/** What the pulse of the unit is played on; count-in, rest bars, cue and change keep their own sound. */
export const CLICK_TIMBRES = ['wood', 'glass', 'skin'] as const;

export type ClickTimbre = (typeof CLICK_TIMBRES)[number];
