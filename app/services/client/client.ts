// The view's end of the contract: the preload's bridge in Electron, loopback HTTP in the browser host.
import type { Bridge } from '../contract/bridge.ts';
import { httpBridge } from './http-bridge.ts';
import { ServiceError } from '../contract/service-error.ts';
import type { Envelope, Services } from '../contract/contract.ts';

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
