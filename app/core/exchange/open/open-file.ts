// Opens the bytes of whatever people bring as a chart: MusicXML, compressed or not, a Standard MIDI File, or a text.
import { type Result, ok } from '../../base/result.ts';
import { looksLikeMidi, readSmf } from '../midi/read.ts';
import { readMxl } from '../musicxml/read/mxl.ts';
import { type OpenedScore, readMusicXml } from '../musicxml/read/read.ts';
import { type Decoder, textOf } from './text-of.ts';
import { looksZipped } from '../zip/directory.ts';

/** A text is one that is no XML: a typed chart, or a sheet. */
type OpenedFile =
  | { readonly kind: 'score'; readonly score: OpenedScore }
  | { readonly kind: 'text'; readonly text: string };

/** By what the file is, not by how it is called. Never throws. */
export function openFile(bytes: Uint8Array, Decoder: Decoder): Result<OpenedFile> {
  if (looksLikeMidi(bytes) || looksZipped(bytes)) return asFile(openScore(bytes, Decoder));
  const text = textOf(bytes, Decoder);
  if (!text.ok) return text;
  const isXml = /^\s*</u.test(text.value);
  return isXml ? asFile(readMusicXml(text.value)) : ok({ kind: 'text', text: text.value });
}

const asFile = (score: Result<OpenedScore>): Result<OpenedFile> =>
  score.ok ? ok({ kind: 'score', score: score.value }) : score;

/** As {@link openFile}, for a file that must be a score. Never throws. */
export function openScore(bytes: Uint8Array, Decoder: Decoder): Result<OpenedScore> {
  if (looksLikeMidi(bytes)) return readSmf(bytes);
  const score = looksZipped(bytes) ? readMxl(bytes) : ok(bytes);
  if (!score.ok) return score;
  const text = textOf(score.value, Decoder);
  return text.ok ? readMusicXml(text.value) : text;
}
