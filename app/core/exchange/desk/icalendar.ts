// Due dates as iCalendar to-dos (RFC 5545 VTODO), for any calendar program.
import { type Assignment, active } from '../../progress/assignment.ts';
import { sayUnit } from '../../progress/words.ts';
import type { IsoTime } from '../../base/units.ts';

/** RFC 5545, 3.1: lines end with CRLF and are folded so that none is longer than 75 octets. */
const MAX_OCTETS = 75;

/**
 * One to-do per assignment with a due date. DUE is a date, not a moment: it holds wherever the calendar
 * is read, summer time or not. @param now becomes DTSTAMP, in UTC as 3.8.7.2 demands.
 */
export function dueCalendar(assignments: readonly Assignment[], now: IsoTime): string {
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//Rungwise//Due dates//EN',
    ...active(assignments).flatMap((assignment) => toDo(assignment, now)),
    'END:VCALENDAR',
  ];
  return lines.map((line) => `${fold(line)}\r\n`).join('');
}

function toDo({ id, chart, unit, terms, given, earlier }: Assignment, now: IsoTime): string[] {
  if (terms.due === undefined) return [];
  const { target, beat } = terms.rules;
  const changed = earlier.at(-1)?.until ?? given;
  return [
    'BEGIN:VTODO',
    `UID:${id}@rungwise`,
    `DTSTAMP:${utc(now)}`,
    `CREATED:${utc(given)}`,
    `LAST-MODIFIED:${utc(changed)}`,
    // Calendars replace a to-do only by one of a higher sequence (3.8.7.4).
    `SEQUENCE:${earlier.length}`,
    `DUE;VALUE=DATE:${terms.due.replaceAll('-', '')}`,
    `SUMMARY:${escape(sayUnit(chart.title, unit.name, target, beat))}`,
    ...(terms.note === '' ? [] : [`DESCRIPTION:${escape(terms.note)}`]),
    'STATUS:NEEDS-ACTION',
    'END:VTODO',
  ];
}

/** `20310405T162000Z`. */
const utc = (at: IsoTime): string =>
  `${new Date(at).toISOString().slice(0, 19).replaceAll(/[-:]/g, '')}Z`;

/** TEXT values: backslash, semicolon, comma and line breaks (3.3.11). Other control characters are not allowed. */
const escape = (text: string): string =>
  text
    .replaceAll('\\', '\\\\')
    .replaceAll(';', '\\;')
    .replaceAll(',', '\\,')
    .replaceAll(/\r\n|\r|\n/g, '\\n')
    // The standard forbids the other control characters.
    .replaceAll(/[\u0000-\u0008\u000b-\u001f\u007f]/g, '');

/** Breaks between characters, never inside one: octets are counted in UTF-8. */
function fold(line: string): string {
  let folded = '';
  let octets = 0;
  for (const character of line) {
    const size = utf8Size(character.codePointAt(0)!);
    if (octets + size > MAX_OCTETS) {
      folded += '\r\n ';
      octets = 1;
    }
    folded += character;
    octets += size;
  }
  return folded;
}

const utf8Size = (code: number): number =>
  code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
