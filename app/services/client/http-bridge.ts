// The view's way to the browser host: calls by POST, events over one stream, both with the token of this tab.
import type { Bridge } from '../contract/bridge.ts';
import type { CallInput, Envelope } from '../contract/contract.ts';
import type { EventName } from '../contract/events.ts';
import { listenToStream } from './event-stream.ts';
import type { AwakePage } from './page-awake.ts';
import { keepPageAwake } from './page-awake.ts';

const thisPage = (): AwakePage => ({
  wakeLock: navigator.wakeLock,
  isVisible: () => document.visibilityState === 'visible',
  onVisibilityChange: (listener) => document.addEventListener('visibilitychange', listener),
});

const post = (headers: Readonly<Record<string, string>>, body: unknown): RequestInit => ({
  method: 'POST',
  headers: { 'content-type': 'application/json', ...headers },
  body: JSON.stringify(body),
});

/** Asks the browser host over HTTP, with the secret of this session. @param origin of the host */
export function httpBridge(origin: string): Bridge {
  const session = openSession(origin);
  const bearer = async () => ({ authorization: `Bearer ${await session}` });
  const listeners = new Map<EventName, Set<(detail: unknown) => void>>();
  let listening = false;
  let awake: ((on: boolean) => Promise<void>) | undefined;
  return {
    call: async (name, input) => {
      if (name === 'host.climbing') {
        awake ??= keepPageAwake(thisPage());
        await awake((input as CallInput<'host.climbing'>).on);
      }
      const response = await fetch(`${origin}/call/${name}`, post(await bearer(), input));
      return (await response.json()) as Envelope<unknown>;
    },
    on: (event, listener) => {
      const those = listeners.get(event) ?? new Set();
      listeners.set(event, those.add(listener));
      if (!listening) {
        listening = true;
        listenToStream(
          async () => fetch(`${origin}/events`, { headers: await bearer() }),
          ({ event: name, data }) =>
            listeners.get(name as EventName)?.forEach((hear) => hear(JSON.parse(data))),
        );
      }
      return () => those.delete(listener);
    },
  };
}

/** All are kept by the browser for this tab and this address with its port alone, and over a reload. */
const KEPT = 'rungwise.session';
/** By which the host knows the tab again, should it be reloaded before the answer has come. */
const TAB = 'rungwise.tab';
/** The token until it is answered, should the tab go to an address without it before. */
const TOKEN = 'rungwise.token';

/** Brings the token of the address, and takes it out of the address when it is answered; a tab that was open keeps its own. */
async function openSession(origin: string): Promise<string> {
  const given = new URL(location.href).searchParams.get('token');
  if (given !== null) sessionStorage.setItem(TOKEN, given);
  const token = sessionStorage.getItem(TOKEN);
  const kept = sessionStorage.getItem(KEPT) ?? '';
  if (token === null) return kept;
  const tab = sessionStorage.getItem(TAB) ?? crypto.randomUUID();
  sessionStorage.setItem(TAB, tab);
  const response = await fetch(`${origin}/session`, post({}, { token, tab }));
  const opened = (await response.json()) as Envelope<{ readonly session: string }>;
  sessionStorage.removeItem(TOKEN);
  if (opened.ok) sessionStorage.setItem(KEPT, opened.value.session);
  history.replaceState(history.state, '', `${location.pathname}${location.hash}`);
  return opened.ok ? opened.value.session : kept;
}
