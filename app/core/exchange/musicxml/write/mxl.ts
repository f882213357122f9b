// Packs a score as compressed MusicXML (W3C MusicXML 4.0, compressed .mxl files and container reference).
import { strToU8, zipSync } from 'fflate';
import { CONTAINER, SCORE_TYPE } from '../container.ts';
import { element, printDocument } from '../xml-write.ts';

const MXL_TYPE = 'application/vnd.recordare.musicxml';

const ROOT = 'score.musicxml';
/** Core has no clock, and the same chart gives the same bytes: the first day that ZIP files can name. */
const NO_DATE = new Date(1980, 0, 1);

/** The type comes first and is stored as it is, so that it can be read at the start of the file. */
export function writeMxl(score: string): Uint8Array<ArrayBuffer> {
  const packed = zipSync(
    {
      mimetype: [strToU8(MXL_TYPE), { level: 0 }],
      [CONTAINER]: strToU8(containerXml()),
      [ROOT]: strToU8(score),
    },
    { mtime: NO_DATE, level: 9 },
  );
  return Uint8Array.from(packed);
}

const containerXml = (): string =>
  printDocument(
    element('container', [
      element('rootfiles', [
        element('rootfile', [], { 'full-path': ROOT, 'media-type': SCORE_TYPE }),
      ]),
    ]),
  );
