// Compressed MusicXML against readers and writers that are not ours: npm musicxml-io 0.9.6, and Info-ZIP's
// `unzip`, where it is installed, for the container and its sums.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { crc32 as nodeCrc32 } from 'node:zlib';
import fc from 'fast-check';
import { strToU8 } from 'fflate';
import * as io from 'musicxml-io';
import { describe, expect, test } from 'vitest';
import { demoCharts } from '../../app/services/machine/demo-charts.ts';
import { writeMxl } from '../../app/core/exchange/musicxml/write/mxl.ts';
import { writeMusicXml } from '../../app/core/exchange/musicxml/write/write.ts';
import { crc32 } from '../../app/core/exchange/zip/crc32.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { openScore } from '../../app/core/exchange/open/open-file.ts';
import { needsProgram } from '../support/needs.ts';

/** Without the names that it gives to elements anew each time. */
const printed = (score: io.Score): string => io.serialize(score).replace(/ id="i[^"]*"/g, '');

describe.each(demoCharts().map((demo) => [demo.title, unwrap(writeMusicXml(demo))] as const))(
  '%s',
  (_, score) => {
    test('musicxml-io reads it packed as it reads it unpacked', () => {
      expect(printed(io.parseCompressed(writeMxl(score)))).toBe(printed(io.parse(score)));
    });

    test('what musicxml-io packed is read here', () => {
      const theirs = io.parse(score);
      expect(openScore(io.serializeCompressed(theirs), TextDecoder)).toEqual(
        openScore(strToU8(io.serialize(theirs)), TextDecoder),
      );
    });

    test('unzip finds no fault', needsProgram('unzip', '-v'), () => {
      const folder = mkdtempSync(join(tmpdir(), 'rungwise-mxl-'));
      try {
        writeFileSync(join(folder, 'a.mxl'), writeMxl(score));
        const list = execFileSync('unzip', ['-Z1', 'a.mxl'], { cwd: folder, encoding: 'utf8' });
        expect(list.trim().split('\n')).toEqual([
          'mimetype',
          'META-INF/container.xml',
          'score.musicxml',
        ]);
        expect(execFileSync('unzip', ['-p', 'a.mxl', 'score.musicxml'], { cwd: folder })).toEqual(
          Buffer.from(score),
        );
      } finally {
        rmSync(folder, { recursive: true });
      }
    });
  },
);

test("sums as Node's zlib makes them", () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
      expect(crc32(bytes)).toBe(nodeCrc32(bytes));
    }),
  );
});
