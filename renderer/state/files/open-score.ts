// Opens the bytes of a MusicXML file, compressed or not.
import { readMxl } from '../../../app/core/exchange/musicxml/read/mxl.ts';
import { type OpenedScore, readMusicXml } from '../../../app/core/exchange/musicxml/read/read.ts';
import { looksZipped } from '../../../app/core/exchange/zip/directory.ts';
import { type Result, ok } from '../../../app/core/base/result.ts';
import { scoreText } from './score-text.ts';

/** By what the file is, not by how it is called: both kinds go by both names. Never throws. */
export function openScore(bytes: Uint8Array): Result<OpenedScore> {
  const score = looksZipped(bytes) ? readMxl(bytes) : ok(bytes);
  if (!score.ok) return score;
  const text = scoreText(score.value);
  return text.ok ? readMusicXml(text.value) : text;
}
