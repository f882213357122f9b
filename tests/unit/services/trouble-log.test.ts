// The log of troubles names places in the program, never people or charts, and does not grow without end.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { troubleOf, writeTrouble } from '../../../app/services/machine/trouble-log.ts';
import { temporaryDirectory } from './samples.ts';

let root: string;
beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => fs.rmSync(root, { recursive: true, force: true }));
const file = () => path.join(root, 'trouble.log');

it('keeps the kind of error and where it happened, without what was quoted', () => {
  const error = new TypeError('‘Harbour Lights’ of "Odalys" has no bars');
  writeTrouble(root, troubleOf('room climb', error), new Date());
  const text = fs.readFileSync(file(), 'utf8');
  expect(text).toContain('room climb: TypeError: ‘…’ of ‘…’ has no bars');
  expect(text).toMatch(/\n\s+at .*trouble-log\.test/);
  expect(text).not.toMatch(/Harbour|Odalys/);
  expect(fs.statSync(file()).mode & 0o777).toBe(0o600);
});

it('is put aside when it is long, and one earlier one is kept', () => {
  fs.writeFileSync(file(), 'x'.repeat(300_000));
  writeTrouble(root, troubleOf('program', 'a word'), new Date());
  expect(fs.readdirSync(root).sort()).toEqual(['trouble.1.log', 'trouble.log']);
  expect(fs.statSync(file()).size).toBeLessThan(1000);
});

it('costs nothing where it cannot be written', () => {
  expect(() =>
    writeTrouble(path.join(root, 'gone'), troubleOf('x', 'y'), new Date()),
  ).not.toThrow();
});
