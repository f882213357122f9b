// What went wrong in the view goes into the log of troubles; whoever reports it goes on.
import type { Services } from '../../app/services/contract/contract.ts';
import { ServiceError } from '../../app/services/contract/service-error.ts';
import type { Messages } from '../state/messages/messages.svelte.ts';

/** Sends an error to the machine side, cut to what it takes; never throws. @param where in the view */
export function reportTrouble(
  { call }: Pick<Services, 'call'>,
  where: string,
  error: unknown,
): void {
  const { name, message, stack = '' } = error instanceof Error ? error : new Error(String(error));
  void call('host.report', {
    where: where.slice(0, 100),
    name: name.slice(0, 100),
    message: message.slice(0, 10_000),
    stack: stack.slice(0, 20_000),
  }).catch(() => undefined);
}

/** Browsers say this of a picture that is measured once more in the next frame; nothing is wrong. */
const HARMLESS = /^ResizeObserver loop/;

/** An error that nobody caught is told, so that nothing fails without a word. */
export function tellTrouble(
  around: { readonly services: Pick<Services, 'call'>; readonly messages: Messages },
  where: string,
  error: unknown,
): void {
  if (error instanceof Error ? HARMLESS.test(error.message) : HARMLESS.test(String(error))) return;
  reportTrouble(around.services, where, error);
  if (error instanceof ServiceError) around.messages.refuse(error.problems);
  else
    around.messages.say(
      'Something did not work just now. It is written down under Sound & care, “What went wrong”.',
    );
}
