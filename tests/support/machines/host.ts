// A browser host as it runs, spoken to by HTTP as its page does: an address that opens once, a session, calls.
import path from 'node:path';
import fs from 'node:fs';
import { type BrowserHost, startBrowserHost } from '../../../app/browser-host/server.ts';
import { type Result, unwrap } from '../../../app/core/base/result.ts';
import type {
  CallInput,
  CallName,
  CallOutput,
  Envelope,
} from '../../../app/services/contract/contract.ts';
import { openTestServices } from '../../unit/services/samples.ts';
import { idsOf } from './own-machines.ts';

/** A tenth of the usual pauses between tries, and a passphrase that is quick to try. */
const QUICK = { pauses: [30, 150], workFactor: 2 };

export interface TalkingHost {
  /** The whole path of its shared folder. */
  readonly folder: string;
  /** @throws Error with what was refused. */
  readonly call: <N extends CallName>(name: N, input: CallInput<N>) => Promise<CallOutput<N>>;
  readonly done: <N extends CallName>(
    name: N,
    input: CallInput<N>,
  ) => Promise<CallOutput<N> extends Result<infer T> ? T : never>;
  readonly close: () => Promise<void>;
}

export async function startTalkingHost(
  root: string,
  name: string,
  now: () => Date,
): Promise<TalkingHost> {
  const folder = path.join(root, name, 'shared');
  const view = path.join(root, 'view');
  for (const one of [folder, view]) fs.mkdirSync(one, { recursive: true });
  const data = path.join(root, name, 'data');
  const services = openTestServices(data, { now, newId: idsOf(name), pace: QUICK });
  const host = await startBrowserHost({ services, view, port: 0 });
  const session = await openSession(host);
  const { origin } = new URL(host.address);
  const call: TalkingHost['call'] = async (asked, input) => {
    const headers = { ...fromPage(origin), authorization: `Bearer ${session}` };
    const body = JSON.stringify(input);
    const response = await fetch(`${origin}/call/${asked}`, { method: 'POST', headers, body });
    return unwrap((await response.json()) as Result<CallOutput<typeof asked>>);
  };
  return {
    folder,
    call,
    done: async (asked, input) => unwrap((await call(asked, input)) as Result<never>),
    close: async () => {
      await host.close();
      services.close();
    },
  };
}

const fromPage = (origin: string) => ({
  'content-type': 'application/json',
  'sec-fetch-site': 'same-origin',
  origin,
});

async function openSession({ address }: BrowserHost): Promise<string> {
  const { origin, searchParams } = new URL(address);
  const body = JSON.stringify({ token: searchParams.get('token') });
  const response = await fetch(`${origin}/session`, {
    ...{ method: 'POST', headers: fromPage(origin), body },
  });
  const opened = (await response.json()) as Envelope<{ readonly session: string }>;
  return unwrap(opened as Result<{ readonly session: string }>).session;
}
