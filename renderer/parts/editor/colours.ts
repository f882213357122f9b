// Which part of a line of the notation is what, for its colours.
import type { StringStream } from '@codemirror/language';

/** The name of a highlighting tag for what stands next in the line. */
export function readLine(stream: StringStream): string | null {
  if (stream.sol()) {
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
  if (stream.match(/^~?[A-GN][^\s|()[\]{}"]*/)) return 'name';
  if (!stream.match(/^[^\s|{"]+/)) stream.next();
  return null;
}
