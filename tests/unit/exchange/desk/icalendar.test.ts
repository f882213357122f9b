// Due dates as iCalendar, read back by an independent parser (ical.js).
import ICAL from 'ical.js';
import { describe, expect, it } from 'vitest';
import { dueCalendar } from '../../../../app/core/exchange/desk/icalendar.ts';
import { revise } from '../../../../app/core/progress/assignment.ts';
import { assignments, NOW } from './example.ts';

const toDos = (text: string): ICAL.Component[] =>
  new ICAL.Component(ICAL.parse(text) as never).getAllSubcomponents('vtodo');
const [first] = assignments;

describe('dueCalendar', () => {
  it('is a calendar of one to-do per due date', () => {
    const text = dueCalendar(assignments, NOW);
    const found = toDos(text);
    expect(found).toHaveLength(3);
    const [one] = found;
    const due = one!.getFirstPropertyValue('due') as ICAL.Time;
    expect(due.toString()).toBe('2031-05-01');
    expect(due.isDate).toBe(true); // a date, not a moment: it holds in every zone
    expect(one!.getFirstPropertyValue('uid')).toBe(`${first!.id}@rungwise`);
    expect(String(one!.getFirstPropertyValue('dtstamp'))).toBe('2031-04-10T18:00:00Z');
    expect(one!.getFirstPropertyValue('summary')).toContain(first!.unit.name);
  });

  it('keeps commas, semicolons, backslashes, breaks and long lines whole', () => {
    const note = `Slow; then, slower.\nNot \\ this: ${'ätöß♩ '.repeat(40)}end`;
    const noted = { ...first!, terms: { ...first!.terms, note } };
    const text = dueCalendar([noted], NOW);
    expect(toDos(text)[0]!.getFirstPropertyValue('description')).toBe(note);
    for (const line of text.split('\r\n')) {
      // RFC 5545, 3.1: no line longer than 75 octets.
      expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
    }
  });

  it('cannot be made to hold a line of its own by what a note says', () => {
    const noted = {
      ...first!,
      terms: { ...first!.terms, note: 'x\r\nEND:VTODO\r\nBEGIN:VTODO\rUID:evil' },
    };
    expect(toDos(dueCalendar([noted], NOW))).toHaveLength(1);
  });

  it('raises the sequence with every revision, and leaves out what has no date or was taken back', () => {
    const later = revise(first!, { ...first!.terms, due: '2031-06-01' }, '2031-04-09T10:00:00Z');
    const [revised] = toDos(dueCalendar([later], NOW));
    expect(revised!.getFirstPropertyValue('sequence')).toBe(1);
    expect(String(revised!.getFirstPropertyValue('last-modified'))).toBe('2031-04-09T10:00:00Z');

    const dateless = { ...first!, terms: { ...first!.terms, due: undefined } };
    const back = { ...first!, withdrawn: '2031-04-09T10:00:00Z' };
    expect(toDos(dueCalendar([dateless as never, back], NOW))).toEqual([]);
  });
});
