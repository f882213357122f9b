// Electron's `session` and `protocol`: permission handlers, and the program's own scheme.
import { EventEmitter } from 'node:events';
import http from 'node:http';
import { assertNotReady, assertReady, engine } from './record.ts';

interface Scheme {
  readonly scheme: string;
  readonly privileges: { readonly standard?: boolean; readonly secure?: boolean };
}

export const protocol = {
  registerSchemesAsPrivileged(list: readonly Scheme[]): void {
    assertNotReady('protocol.registerSchemesAsPrivileged()');
    for (const { scheme, privileges } of list) {
      if (!privileges.standard) throw new Error('the stand-in knows standard schemes only');
      engine.schemes.set(scheme, privileges);
    }
  },
  handle(scheme: string, handler: (request: Request) => Response | Promise<Response>): void {
    assertReady('protocol');
    engine.handlers.set(scheme, handler);
  },
};

type Answer = (granted: boolean) => void;

class Session extends EventEmitter {
  request?: (contents: unknown, permission: string, answer: Answer, details: unknown) => void;
  check?: (contents: unknown, permission: string, origin: string, details: unknown) => boolean;
  setPermissionRequestHandler(handler: typeof this.request): void {
    this.request = handler;
  }
  setPermissionCheckHandler(handler: typeof this.check): void {
    this.check = handler;
  }
  setDevicePermissionHandler(): void {}
}

/** Electron grants whatever no handler refuses. */
export const theSession = new Session();

/** The updater asks for its feed by it; plain HTTP does here. */
export const net = {
  request: (options: http.RequestOptions): http.ClientRequest => http.request(options),
};

export const session = {
  fromPartition: (): Session => new Session(),
  get defaultSession(): Session {
    assertReady('session');
    return theSession;
  },
};
