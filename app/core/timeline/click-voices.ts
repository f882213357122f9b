// The names of the click voices, in the order in which they stand when several fall on one moment.
export const CLICK_VOICES = ['bar', 'beat', 'subdivision', 'cue', 'change'] as const;

export type ClickVoice = (typeof CLICK_VOICES)[number];
