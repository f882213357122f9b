// Bars as people write them, and back.
import { describe, expect, test } from 'vitest';
import { readBarList, writeBarList } from '../../../renderer/page/bar-list.ts';

describe('read', () => {
  test.each([
    ['5', [5]],
    ['5–8, 13', [5, 6, 7, 8, 13]],
    ['5-8;13', [5, 6, 7, 8, 13]],
    ['7, 5 to 6', [5, 6, 7]],
    ['1 and 3', [1, 3]],
    ['1, 2, and 3', [1, 2, 3]],
    ['3, 2-4, ', [2, 3, 4]],
  ])('%s', (text, bars) => expect(readBarList(text, 16)).toEqual({ ok: true, bars }));

  test.each([
    ['', 'Write at least one bar'],
    ['verse', '“verse” is no bar'],
    ['0', 'outside bars 1–16'],
    ['15-17', 'outside bars 1–16'],
    ['99-100', 'outside bars 1–16'],
    ['8-5', 'Write 5–8.'],
  ])('“%s” is refused in words', (text, problem) =>
    expect(readBarList(text, 16)).toEqual({
      ok: false,
      problem: expect.stringContaining(problem) as string,
    }),
  );
});

test('written shortly, and read back the same', () => {
  const bars = [1, 3, 4, 5, 9, 10];
  expect(writeBarList(bars)).toBe('1, 3–5, 9–10');
  expect(readBarList(writeBarList(bars), 10)).toEqual({ ok: true, bars });
});
