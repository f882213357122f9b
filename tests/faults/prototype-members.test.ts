// Words that name members of every object ("constructor", "__proto__") are words like any other to every reader.
import { describe, expect, test } from 'vitest';
import { parseChart } from '../../app/core/chart/notation/parse.ts';
import { printChart } from '../../app/core/chart/notation/print.ts';
import { readChartFile } from '../../app/core/chart/chart-file.ts';
import { readKey } from '../../app/core/harmony/key.ts';
import { readChord } from '../../app/core/harmony/read.ts';
import { readTuning } from '../../app/core/harmony/tunings.ts';
import { readMusicXml } from '../../app/core/exchange/musicxml/read/read.ts';
import { parseStrum } from '../../app/core/rhythm/strum.ts';
import { parseUnitKey } from '../../app/core/units/keys.ts';
import type { Result } from '../../app/core/base/result.ts';

const MEMBERS = Object.getOwnPropertyNames(Object.prototype);

const refused = (result: Result<unknown>): void => {
  expect(result.ok).toBe(false);
  if (!result.ok) expect(result.problems[0]!.cure).toMatch(/\w/);
};

const HEAD = 'title: Members\ntempo: 90';
const score = (inside: string): string => `<?xml version="1.0"?>
<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>G</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>
${inside}<note><rest/><duration>4</duration></note></measure></part></score-partwise>`;

describe.each(MEMBERS)('%s', (word) => {
  test.each(['', 'm', 'maj7', '7/'])('is no chord after G%s', (before) =>
    refused(readChord(`G${before}${word}`)),
  );

  test('is no key, tuning, strum or unit', () => {
    refused(readKey(word));
    refused(readKey(`G ${word}`));
    refused(readTuning(word));
    refused(parseStrum(`${word} D D D D`));
    refused(parseUnitKey(`${word}:Verse`));
    refused(parseUnitKey(word));
  });

  test.each([
    (w: string) => `title: M\ntempo: ${w} = 90\n[A]\n| G |`,
    (w: string) => `title: M\ntempo: 90\nmeter: ${w}\n[A]\n| G |`,
    (w: string) => `${HEAD}\nfeel: ${w}\n[A]\n| G |`,
    (w: string) => `${HEAD}\nkey: ${w}\n[A]\n| G |`,
    (w: string) => `${HEAD}\ncapo: ${w}\n[A]\n| G |`,
    (w: string) => `${HEAD}\n[A]\n${w}: 1\n| G |`,
    (w: string) => `${HEAD}\n[A]\n| G${w} |`,
    (w: string) => `${HEAD}\n[A]\n| G |\nform: ${w}`,
  ])('is told in a typed chart', (text) => refused(parseChart(text(word))));

  test('names a field of one’s own at the head, which comes back as typed, or is told', () => {
    const read = parseChart(`${HEAD}\n${word}: 1\n\n[A]\n| G |`);
    if (read.ok) expect(printChart(read.value)).toContain(`${word}: 1`);
    else refused(read);
  });

  test('may name a section, since names are free', () => {
    const read = parseChart(`${HEAD}\n[${word}]\n| G |\nform: ${word}`);
    expect(read.ok).toBe(true);
  });

  test('is told in a chart file', () => {
    refused(readChartFile(`{"format":"${word}"}`));
    refused(readChartFile(`{"format":"rungwise-chart","schemaVersion":1,"chart":{"${word}":1}}`));
  });

  test('is survived in every word of a score', () => {
    for (const inside of [
      `<harmony><root><root-step>G</root-step></root><kind text="${word}">major</kind></harmony>`,
      `<harmony><root><root-step>G</root-step></root><kind>${word}</kind></harmony>`,
      `<harmony><root><root-step>${word}</root-step></root><kind>major</kind></harmony>`,
      `<harmony><function>${word}</function><kind>major</kind></harmony>`,
      `<direction><direction-type><metronome><beat-unit>${word}</beat-unit><per-minute>90</per-minute></metronome></direction-type></direction>`,
      `<direction><direction-type><${word}/></direction-type></direction>`,
      `<barline><repeat direction="${word}"/></barline>`,
    ]) {
      expect(typeof readMusicXml(score(inside)).ok).toBe('boolean');
    }
  });
});
