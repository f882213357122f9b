// Which part of a line of the notation is what, for its colours.
import type { StringStream } from '@codemirror/language';

export interface LineState {
  /** Chords stand in the line: it is one of bars, or of a key, shape or band. */
  chords: boolean;
}

/** Lines of words, names and remarks, in which "Down" and "Go" are no chords. */
const PROSE =
  /^\s*(?:title|by|album|words(?: \d+)?|remark|strum|feel|tuning|line|like|part [^:|]*)\s*:/iu;

/** The name of a highlighting tag for what stands next in the line. */
export function readLine(stream: StringStream, state: LineState): string | null {
  if (stream.sol()) {
    const whole = stream.string;
    state.chords = !PROSE.test(whole) && /\||^\s*(?:key|shape)\b/iu.test(whole);
    stream.eatSpace();
    if (stream.match(/^(?:#|\/\/).*/)) return 'comment';
    if (stream.match(/^\[[^\]]*\]?/)) return 'heading';
    if (stream.match(/^(?:shape|part)(?=\s)/i) || stream.match(/^[\p{L}][\p{L}\d -]*:(?!\|)/u))
      return 'keyword';
  }
  if (stream.eatSpace()) return null;
  if (stream.match(/^["“][^"“”]*["”]?/)) return 'string';
  if (stream.match(/^\{[^}]*\}?/) || stream.match(/^(?:rit\.|accel\.|a tempo|fermata|pickup)\b/i))
    return 'atom';
  if (stream.match(/^:?\|+:?/) || stream.match(/^[/%.()]+(?=[\s)|]|$)/)) return 'punctuation';
  if (state.chords && stream.match(/^~?[A-HN][^\s|()[\]{}"]*/)) return 'name';
  if (!stream.match(/^[^\s|{"]+/)) stream.next();
  return null;
}
