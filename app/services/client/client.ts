// The view's end of the contract: the preload's bridge in Electron, loopback HTTP in the browser host.
import type { Bridge } from '../contract/bridge.ts';
import type { AwakePage } from './page-awake.ts';
import { keepPageAwake } from './page-awake.ts';
import { ServiceError } from '../contract/service-error.ts';
import type {
  CallInput,
  Envelope,
  EventName,
  ServiceEvents,
  Services,
} from '../contract/contract.ts';

declare global {
  interface Window {
    readonly rungwise?: Bridge;
  }
}

/** The services of whichever host shows this page. */
export const connectServices = (): Services =>
  servicesOver(window.rungwise ?? httpBridge(window.location.origin));

/** Typed services over a bridge. Input is copied to plain data first, so that reactive proxies may be passed. */
export function servicesOver(bridge: Bridge): Services {
  return {
    call: async (name, input) => {
      const plain: unknown = JSON.parse(JSON.stringify(input ?? {}));
      const envelope = await bridge.call(name, plain).catch(unreachable);
      if (envelope.ok) return envelope.value as never;
      throw new ServiceError(envelope.problems);
    },
    on: (event, listener) => bridge.on(event, (detail) => listener(detail as never)),
  };
}

function unreachable(reason: unknown): Envelope<never> {
  return {
    ok: false,
    problems: [
      {
        code: 'service-unreachable',
        message: `The program behind this window does not answer (${String(reason)}).`,
        cure: 'Start Rungwise again; what was judged is on disk.',
      },
    ],
  };
}

const thisPage = (): AwakePage => ({
  wakeLock: navigator.wakeLock,
  isVisible: () => document.visibilityState === 'visible',
  onVisibilityChange: (listener) => document.addEventListener('visibilitychange', listener),
});

/** Calls by POST, events by one shared EventSource that reconnects by itself. */
export function httpBridge(origin: string): Bridge {
  let source: EventSource | undefined;
  let awake: ((on: boolean) => Promise<void>) | undefined;
  return {
    call: async (name, input) => {
      if (name === 'host.climbing') {
        awake ??= keepPageAwake(thisPage());
        await awake((input as CallInput<'host.climbing'>).on);
      }
      const response = await fetch(`${origin}/call/${name}`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(input),
      });
      return (await response.json()) as Envelope<unknown>;
    },
    on: (event, listener) => {
      source ??= new EventSource(`${origin}/events`);
      const receive = (message: MessageEvent<string>): void =>
        listener(JSON.parse(message.data) as ServiceEvents[EventName]);
      source.addEventListener(event, receive);
      const open = source;
      return () => open.removeEventListener(event, receive);
    },
  };
}
