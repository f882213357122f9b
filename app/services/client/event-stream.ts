// Reads server-sent events (WHATWG HTML, 9.2) from a fetch, which can carry a header where EventSource cannot.

export interface StreamEvent {
  readonly event: string;
  readonly data: string;
}

/** Milliseconds after which a stream that ended is opened again. */
const AGAIN_MS = 1_000;

/** For as long as the page is there. @param open Asks for the stream. */
export function listenToStream(
  open: () => Promise<Response>,
  hear: (event: StreamEvent) => void,
): void {
  void (async () => {
    for (;;) {
      await readStream(open, hear).catch(() => undefined);
      await new Promise((resolve) => setTimeout(resolve, AGAIN_MS));
    }
  })();
}

async function readStream(
  open: () => Promise<Response>,
  hear: (event: StreamEvent) => void,
): Promise<void> {
  const response = await open();
  if (!response.ok || !response.body) return;
  const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
  let waiting = '';
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    const { events, rest } = cutEvents(waiting + value);
    waiting = rest;
    events.forEach(hear);
  }
}

/** The whole events of a text, and what of the next one has come. */
export function cutEvents(text: string): {
  readonly events: readonly StreamEvent[];
  readonly rest: string;
} {
  const blocks = text.split('\n\n');
  const rest = blocks.pop() ?? '';
  const events = blocks.flatMap((block): StreamEvent[] => {
    const event = /^event: (.*)$/m.exec(block)?.[1];
    const data = /^data: (.*)$/m.exec(block)?.[1];
    return event === undefined || data === undefined ? [] : [{ event, data }];
  });
  return { events, rest };
}
