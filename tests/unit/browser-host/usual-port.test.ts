// The port that a data folder is served at when none is asked for.
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { usualPort } from '../../../app/browser-host/usual-port.ts';

test('the same folder has the same port at every start, another folder most likely another', () => {
  expect(usualPort('/home/student/rungwise')).toBe(usualPort('/home/student/rungwise'));
  expect(usualPort('/home/student/rungwise')).not.toBe(usualPort('/home/teacher/rungwise'));
});

test('it is one of the ports that are nobody’s (RFC 6335: 49152–65535)', () =>
  fc.assert(
    fc.property(fc.string(), (directory) => {
      const port = usualPort(directory);
      expect(Number.isInteger(port) && port >= 49_152 && port <= 65_535).toBe(true);
    }),
  ));
