// The browser's own Web Audio under the names that Tone imports from standardized-audio-context: a stand-in of a few
// lines for a package of 35 kB (gzip) whose patches serve browsers this program does not run in. See electron.config.ts.

export const { AudioContext, OfflineAudioContext, AudioWorkletNode, AudioBuffer } = globalThis;

/** As standardized-audio-context names it. */
export const isAnyAudioContext = (thing: unknown): boolean => thing instanceof AudioContext;

/** As standardized-audio-context names it. */
export const isAnyOfflineAudioContext = (thing: unknown): boolean =>
  thing instanceof OfflineAudioContext;

/** As standardized-audio-context names it. */
export const isAnyAudioNode = (thing: unknown): boolean => thing instanceof AudioNode;

/** As standardized-audio-context names it. */
export const isAnyAudioParam = (thing: unknown): boolean => thing instanceof AudioParam;

/** As standardized-audio-context names it. */
export const isSupported = (): Promise<boolean> =>
  Promise.resolve('AudioWorkletNode' in globalThis);
