// Server-sent events as they come over a fetch, cut wherever the network cuts them.
import { describe, expect, it } from 'vitest';
import { cutEvents } from '../../../app/services/client/event-stream.ts';

const TEXT =
  ': open\n\nevent: power\ndata: {"state":"resume"}\n\n: still here\n\nevent: charts\ndata: {}\n\n';

describe('a stream', () => {
  it('gives its events, and comments are none', () => {
    expect(cutEvents(TEXT)).toEqual({
      events: [
        { event: 'power', data: '{"state":"resume"}' },
        { event: 'charts', data: '{}' },
      ],
      rest: '',
    });
  });

  it('cut at any place gives the same events', () => {
    for (let at = 0; at <= TEXT.length; at++) {
      const first = cutEvents(TEXT.slice(0, at));
      const second = cutEvents(first.rest + TEXT.slice(at));
      expect([...first.events, ...second.events]).toEqual(cutEvents(TEXT).events);
    }
  });
});
