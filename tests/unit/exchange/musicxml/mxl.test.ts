// Compressed scores out and in, and the encodings that scores come in.
import { strFromU8, strToU8, zipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { demoNamed } from '../../../support/demo.ts';
import { readMxl } from '../../../../app/core/exchange/musicxml/read/mxl.ts';
import { writeMxl } from '../../../../app/core/exchange/musicxml/write/mxl.ts';
import { readMusicXml } from '../../../../app/core/exchange/musicxml/read/read.ts';
import { writeMusicXml } from '../../../../app/core/exchange/musicxml/write/write.ts';
import { crc32 } from '../../../../app/core/exchange/zip/crc32.ts';
import { ok, unwrap } from '../../../../app/core/base/result.ts';
import { openFile, openScore } from '../../../../app/core/exchange/open/open-file.ts';

const score = unwrap(writeMusicXml(demoNamed('low-tide-lanterns')));

describe('a compressed score', () => {
  test('comes back to the byte', () => {
    expect(strFromU8(unwrap(readMxl(writeMxl(score))))).toBe(score);
    expect(openScore(writeMxl(score), TextDecoder)).toEqual(readMusicXml(score));
  });

  test('is the same each time it is written', () => {
    expect(writeMxl(score)).toEqual(writeMxl(score));
  });

  // W3C MusicXML 4.0, container: the first file is "mimetype", neither compressed nor with an extra field,
  // so that the type stands at byte 38 of the file, after a header of 30 bytes and a name of 8.
  test('begins with its type, as it is', () => {
    const start = strFromU8(writeMxl(score).subarray(30, 76));
    expect(start).toBe('mimetypeapplication/vnd.recordare.musicxmlPK\u0003\u0004');
  });

  test.each([
    ['in a folder, beside a picture', 'scores/a.musicxml', ''],
    ['with a type', './a.xml', ' media-type="application/vnd.recordare.musicxml+xml"'],
    ['with an older type', 'a.xml', ' media-type="text/xml"'],
  ])('of another program: %s', (_, path, type) => {
    const container = `<container><rootfiles><rootfile full-path="${path}"${type}/><rootfile full-path="a.pdf" media-type="application/pdf"/></rootfiles></container>`;
    const bytes = zipSync({
      'META-INF/container.xml': strToU8(container),
      [path.replace('./', '')]: strToU8(score),
      'a.pdf': new Uint8Array(10),
    });
    expect(openScore(bytes, TextDecoder).ok).toBe(true);
  });
});

// The check value that goes with the polynomial: the sum of "123456789" is CBF43926 (from memory).
test('the sum of ZIP files', () => {
  expect(crc32(strToU8('123456789')).toString(16)).toBe('cbf43926');
});

describe('encodings of a score', () => {
  const TITLE = 'Über die Brücke';
  const text = (encoding?: string): string =>
    `<?xml version="1.0"${encoding ? ` encoding="${encoding}"` : ''}?><score-partwise><work><work-title>${TITLE}</work-title></work><part-list/><part><measure><harmony><root><root-step>G</root-step></root><kind>major</kind></harmony></measure></part></score-partwise>`;
  const latin = (words: string): Uint8Array => Uint8Array.from(words, (sign) => sign.charCodeAt(0));
  const utf16 = (words: string, little: boolean): Uint8Array =>
    Uint8Array.from(
      [...words].flatMap((sign) => [sign.charCodeAt(0) >> 8, sign.charCodeAt(0) & 255]),
    ).map((_, i, all) => all[little ? i ^ 1 : i]!);

  test.each<[string, Uint8Array]>([
    ['UTF-8', strToU8(text('UTF-8'))],
    ['UTF-8 without a word', strToU8(text())],
    ['UTF-8 with a byte-order mark', strToU8(`\uFEFF${text('UTF-8')}`)],
    ['ISO 8859-1', latin(text('ISO-8859-1'))],
    ['windows-1252', latin(text('windows-1252'))],
    ['Western bytes that are called UTF-8', latin(text('UTF-8'))],
    ['UTF-16, little end first', utf16(`\uFEFF${text('UTF-16')}`, true)],
    ['UTF-16, big end first', utf16(`\uFEFF${text('UTF-16')}`, false)],
    ['UTF-16 without a mark, little end first', utf16(text('UTF-16LE'), true)],
    ['UTF-16 without a mark, big end first', utf16(text('UTF-16BE'), false)],
  ])('%s', (_, bytes) => {
    expect(unwrap(openScore(bytes, TextDecoder)).chart.title).toBe(TITLE);
    expect(openFile(bytes, TextDecoder)).toMatchObject({ value: { kind: 'score' } });
  });

  const CHART = `title: ${TITLE}\n`;

  test.each<[string, Uint8Array]>([
    ['UTF-8', strToU8(CHART)],
    ['UTF-8 with a byte-order mark', strToU8(`\uFEFF${CHART}`)],
    ['Western bytes', latin(CHART)],
    ['UTF-16, little end first', utf16(`\uFEFF${CHART}`, true)],
    ['UTF-16 without a mark, big end first', utf16(CHART, false)],
  ])('a typed chart in %s', (_, bytes) => {
    expect(openFile(bytes, TextDecoder)).toEqual(ok({ kind: 'text', text: CHART }));
  });
});
