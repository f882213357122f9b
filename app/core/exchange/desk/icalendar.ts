// Due dates as iCalendar to-dos (RFC 5545 VTODO), for any calendar program; ical.js writes them.
import ICAL from 'ical.js';
import { type Assignment, active } from '../../progress/assignment.ts';
import { sayUnit } from '../../progress/words.ts';
import type { IsoTime } from '../../base/units.ts';

/** ical.js counts without the space that begins a continued line; RFC 5545, 3.1 has 75 octets with it. */
ICAL.foldLength = 74;

/**
 * One to-do per assignment with a due date. DUE is a date, not a moment: it holds wherever the calendar
 * is read, summer time or not. @param now becomes DTSTAMP, in UTC as 3.8.7.2 demands.
 */
export function dueCalendar(assignments: readonly Assignment[], now: IsoTime): string {
  const calendar = new ICAL.Component('vcalendar');
  calendar.addPropertyWithValue('version', '2.0');
  calendar.addPropertyWithValue('prodid', '-//Rungwise//Due dates//EN');
  for (const assignment of active(assignments)) addToDo(calendar, assignment, now);
  return `${calendar.toString()}\r\n`;
}

function addToDo(calendar: ICAL.Component, assignment: Assignment, now: IsoTime): void {
  const { id, chart, unit, terms, given, earlier } = assignment;
  if (terms.due === undefined) return;
  const { target, beat } = terms.rules;
  const toDo = new ICAL.Component('vtodo');
  toDo.addPropertyWithValue('uid', `${id}@rungwise`);
  toDo.addPropertyWithValue('dtstamp', utc(now));
  toDo.addPropertyWithValue('created', utc(given));
  toDo.addPropertyWithValue('last-modified', utc(earlier.at(-1)?.until ?? given));
  // Calendars replace a to-do only by one of a higher sequence (3.8.7.4).
  toDo.addPropertyWithValue('sequence', earlier.length);
  toDo.addPropertyWithValue('due', ICAL.Time.fromDateString(terms.due));
  toDo.addPropertyWithValue('summary', plain(sayUnit(chart.title, unit.name, target, beat)));
  if (terms.note !== '') toDo.addPropertyWithValue('description', plain(terms.note));
  toDo.addPropertyWithValue('status', 'NEEDS-ACTION');
  calendar.addSubcomponent(toDo);
}

const utc = (at: IsoTime): ICAL.Time => ICAL.Time.fromJSDate(new Date(at), true);

/** Every line break is a line feed; the standard forbids the other control characters (3.3.11). */
const plain = (text: string): string =>
  text.replaceAll(/\r\n|\r/g, '\n').replaceAll(/[\u0000-\u0008\u000b-\u001f\u007f]/g, '');
