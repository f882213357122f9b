// Who sounds on which MIDI channel: a bend moves its whole channel, so strings that sound together need one each.

/** All but the strummed guitar's, the percussion's and the bass's, counted from 0. */
export const CHANNELS = [1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14] as const;

/** Something that sounds for a while, in ticks. A string keeps its channel where it can. */
interface TimedVoice {
  readonly owner: string;
  readonly on: number;
  readonly off: number;
}

export interface Given<T> {
  readonly voice: T;
  /** Index into {@link CHANNELS}. */
  readonly channel: number;
  /** Where the next on its channel begins: it must have ended by then. */
  readonly until: number;
}

/** Voices in order of their beginning. When more sound together than there are channels, the first to end is cut. */
export function sharedOut<T extends TimedVoice>(voices: readonly T[]): readonly Given<T>[] {
  const last: (T | undefined)[] = CHANNELS.map(() => undefined);
  const freeFrom = (channel: number): number => last[channel]?.off ?? -1;
  const order = [...last.keys()];
  const given = voices.map((voice) => {
    const own = order.find((c) => last[c]?.owner === voice.owner && freeFrom(c) <= voice.on);
    const channel = own ?? order.reduce((a, b) => (freeFrom(b) < freeFrom(a) ? b : a));
    last[channel] = voice;
    return { voice, channel };
  });
  const next: number[] = CHANNELS.map(() => Infinity);
  return given
    .toReversed()
    .map(({ voice, channel }): Given<T> => {
      const until = next[channel]!;
      next[channel] = voice.on;
      return { voice, channel, until };
    })
    .toReversed();
}
