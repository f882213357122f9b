// A teacher's class for tests: a song of two sections, what is set of it, students, passes, and a file that is opened.
import type { Page } from '@playwright/test';
import { unwrap } from '../../../app/core/base/result.ts';
import { readChartText } from '../../../app/core/chart/notation/chart-text.ts';
import type { LogEntry, PassRecord } from '../../../app/core/model/pass.ts';
import { assign, type Student } from '../../../app/core/progress/assignment.ts';
import { loggedBar } from '../../../app/core/units/bars/logged-bars.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import type { Desk } from '../../../app/services/contract/contract.ts';
import { daysAgo } from '../../support/test-time.ts';
import type { TestHost } from '../host.ts';
import { handle } from '../view/short-climb.ts';

export const chartWith = (third: string) =>
  unwrap(
    readChartText(
      `title: Harbour Steps\ntempo: 90\nmeter: 4/4\n\n[Verse]\n| G | D | ${third} | C |\n\n[Chorus]\n| C | G | D | G |\n\nform:\nVerse\nChorus\n`,
      'harbour',
    ),
  );
export const verse = (third: string) =>
  unwrap(resolveUnit(chartWith(third), { kind: 'section', section: 'Verse' }));
export const set = assign(chartWith('Bb'), [verse('Bb')], {
  at: `${daysAgo(9)}T10:00:00Z`,
  by: 'Ms Tern',
  newId: () => 'set-verse',
});

export const student = (id: string, name: string, more: Partial<Student> = {}): Student => ({
  id,
  name,
  since: `${daysAgo(30)}T10:00:00Z`,
  assignments: [],
  comments: [],
  ...more,
});

export function entryOn(third: string, day: number): LogEntry {
  const unit = verse(third);
  const pass: PassRecord = {
    id: `pass-${third}-${day}`,
    at: `${daysAgo(day)}T18:00:00+00:00`,
    session: 's',
    climb: 'c',
    chart: { id: 'harbour', title: 'Harbour Steps' },
    unit: { key: unit.key, name: unit.name, fingerprint: unit.fingerprint },
    rung: { bpm: 70, beat: 'quarter', index: 2, of: 8, target: 90 },
    verdict: 'clean',
    source: 'self',
    cold: false,
    duration: 12,
  };
  const bars = unit.bars.map(loggedBar);
  return { kind: 'pass', pass, unit: { fingerprint: unit.fingerprint, bars } };
}

export async function openFile(page: Page, button: string, text: string): Promise<void> {
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: button }).click();
  const file = { name: 'file.json', mimeType: 'application/json', buffer: Buffer.from(text) };
  await (await chooser).setFiles(file);
}

export const students = async (host: TestHost): Promise<readonly Student[]> =>
  ((await handle(host, 'students.list', {})) as Desk).students;
