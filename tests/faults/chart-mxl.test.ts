// Compressed MusicXML that is damaged, hostile or no score: a named problem with a cure, never an exception.
import fc from 'fast-check';
import { strToU8, type Zippable, zipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { demoNamed } from '../support/demo.ts';
import { runs } from '../support/runs.ts';
import { readMxl } from '../../app/core/exchange/musicxml/read/mxl.ts';
import { writeMxl } from '../../app/core/exchange/musicxml/write/mxl.ts';
import { writeMusicXml } from '../../app/core/exchange/musicxml/write/write.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { openScore } from '../../app/core/exchange/open/open-file.ts';

const CONTAINER = 'META-INF/container.xml';
const container = (inside: string): Uint8Array =>
  strToU8(`<container><rootfiles>${inside}</rootfiles></container>`);
const ROOT = container('<rootfile full-path="a.xml"/>');
const zip = (files: Zippable): Uint8Array => zipSync(files);
const small = zip({ [CONTAINER]: ROOT, 'a.xml': strToU8('<score-partwise/>') });

/** The entry of that name in the table of contents, with one number changed: `at` bytes into it. */
function patched(bytes: Uint8Array, name: string, at: number, value: number[]): Uint8Array {
  const copy = Uint8Array.from(bytes);
  copy.set(value, Buffer.from(copy.buffer).lastIndexOf(name) - 46 + at);
  return copy;
}

const problemOf = (bytes: Uint8Array) => {
  const result = readMxl(bytes);
  if (result.ok) throw new Error('it was read');
  return result.problems[0]!;
};

const bomb = zip({ [CONTAINER]: ROOT, 'a.xml': new Uint8Array(21_000_000) });
const lesser = zip({ [CONTAINER]: ROOT, 'a.xml': new Uint8Array(9_000_000) });

describe('files that are refused', () => {
  test.each<[string, Uint8Array, string, string]>([
    ['the start of one', small.subarray(0, 40), 'zip-damaged', 'breaks off before its table'],
    ['an empty one', zip({}), 'mxl-container', 'has no META-INF/container.xml'],
    ['one of pictures', zip({ 'a.png': new Uint8Array(9) }), 'mxl-container', CONTAINER],
    [
      'a container that is no XML',
      zip({ [CONTAINER]: strToU8('<a') }),
      'mxl-container',
      'whole XML',
    ],
    [
      'a container without a root file',
      zip({ [CONTAINER]: container('') }),
      'mxl-root',
      'no score',
    ],
    [
      'a container that names only a picture of the score',
      zip({ [CONTAINER]: container('<rootfile full-path="a.pdf" media-type="application/pdf"/>') }),
      'mxl-root',
      'names no score',
    ],
    ['a root file that is not inside', zip({ [CONTAINER]: ROOT }), 'mxl-root-missing', '‘a.xml’'],
    ['an encrypted score', patched(small, 'a.xml', 8, [1]), 'zip-encrypted', '‘a.xml’'],
    ['another way of packing', patched(small, 'a.xml', 10, [12]), 'zip-method', 'method 12'],
    [
      'a wrong sum',
      patched(small, 'a.xml', 16, [0, 0, 0, 0]),
      'zip-damaged',
      '‘a.xml’ is not what',
    ],
    ['a wrong size', patched(small, 'a.xml', 24, [9]), 'zip-damaged', '‘a.xml’ is not what was'],
    [
      'a place outside',
      patched(small, 'a.xml', 42, [255, 255]),
      'zip-damaged',
      'not where its table',
    ],
    ['4 GB and more', patched(small, 'a.xml', 24, [255, 255, 255, 255]), 'zip-damaged', '4 GB'],
    ['a small file of 21 MB', bomb, 'zip-large', 'larger than 20 MB'],
    ['one that hides its 21 MB', patched(bomb, 'a.xml', 24, [9, 0, 0, 0]), 'zip-large', '20 MB'],
    ['one that hides 9 MB', patched(lesser, 'a.xml', 24, [9, 0, 0, 0]), 'zip-damaged', 'not what'],
    [
      'a large container',
      zip({ [CONTAINER]: new Uint8Array(200_000) }),
      'zip-large',
      'META-INF/container.xml',
    ],
    [
      'a thousand and one files',
      zip(Object.fromEntries(Array.from({ length: 1001 }, (_, i) => [`${i}`, new Uint8Array()]))),
      'zip-many',
      '1001 files',
    ],
  ])('%s', (_, bytes, code, words) => {
    const problem = problemOf(bytes);
    expect(problem).toMatchObject({ code });
    expect(problem.message).toContain(words);
    expect(problem.cure).not.toBe('');
  });

  test('a bomb stays small on its way', () => {
    expect(bomb.length).toBeLessThan(40_000);
  });
});

const whole = writeMxl(unwrap(writeMusicXml(demoNamed('low-tide-lanterns'))));

test('cut off anywhere', () => {
  fc.assert(
    fc.property(fc.integer({ min: 4, max: whole.length - 1 }), (length) => {
      expect(problemOf(whole.subarray(0, length)).code).toBe('zip-damaged');
    }),
    { numRuns: 40 },
  );
});

test('any byte changed: what is read is the score, or a problem says why not', () => {
  const score = unwrap(readMxl(whole));
  fc.assert(
    fc.property(fc.nat(whole.length - 1), fc.integer({ min: 1, max: 255 }), (at, flip) => {
      const changed = Uint8Array.from(whole);
      changed[at]! ^= flip;
      const read = readMxl(changed);
      if (read.ok) expect(Buffer.compare(read.value, score)).toBe(0);
      else expect(read.problems[0]!.cure).not.toBe('');
    }),
    { numRuns: runs(80, 10_000) },
  );
});

test('a score of an encoding that nobody knows', () => {
  const bytes = strToU8('<?xml version="1.0" encoding="x-no-such"?><score-partwise/>');
  expect(openScore(bytes, TextDecoder)).toMatchObject({
    ok: false,
    problems: [{ code: 'xml-encoding' }],
  });
});
