// Opens the bytes of a MusicXML file, compressed or not, or of a Standard MIDI File.
import { readMxl } from '../../../app/core/exchange/musicxml/read/mxl.ts';
import { type OpenedScore, readMusicXml } from '../../../app/core/exchange/musicxml/read/read.ts';
import { looksLikeMidi, readSmf } from '../../../app/core/exchange/midi/read.ts';
import { looksZipped } from '../../../app/core/exchange/zip/directory.ts';
import { type Result, ok } from '../../../app/core/base/result.ts';
import { scoreText } from './score-text.ts';

/** By what the file is, not by how it is called. Never throws. */
export function openScore(bytes: Uint8Array): Result<OpenedScore> {
  if (looksLikeMidi(bytes)) return readSmf(bytes);
  const score = looksZipped(bytes) ? readMxl(bytes) : ok(bytes);
  if (!score.ok) return score;
  const text = scoreText(score.value);
  return text.ok ? readMusicXml(text.value) : text;
}
