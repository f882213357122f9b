// Values whose parts can be no number are refused like any other; found by hostile messages (tests/faults).
import { expect, it } from 'vitest';
import { z } from 'zod';
import { checked } from '../../../app/core/base/checked.ts';
import { readSegment } from '../../../app/core/exchange/shared/segment.ts';
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';

const endless: unknown = JSON.parse('{"length": {"toString": 1, "valueOf": 1}}');

it('refuses a length that is none', () => {
  expect(() => z.array(z.string()).max(3).safeParse(endless)).toThrow(TypeError);
  expect(checked(z.array(z.string()).max(3), endless).success).toBe(false);
  expect(checked(z.array(z.string()).max(3), ['a'])).toMatchObject({ success: true, data: ['a'] });
});

it('a file of a shared folder with such a part is spoilt, not a fault of the program', () => {
  const line = JSON.stringify({ format: 'rungwise-shared', version: 1, writer: endless });
  expect(readSegment(`${line}\n${bytesToHex(sha256(utf8ToBytes(line)))}\n`).kind).toBe('spoilt');
});
