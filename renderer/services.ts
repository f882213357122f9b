// The one connection of this window to the machine side, whichever host shows it.
import type {
  CallInput,
  CallName,
  CallOutput,
  Services,
} from '../app/services/contract/contract.ts';
import { connectServices } from '../app/services/client/client.ts';

export const services: Services = connectServices();

/** @throws ServiceError when the machine side refuses the input or cannot be reached. */
export const call = <N extends CallName>(name: N, input: CallInput<N>): Promise<CallOutput<N>> =>
  services.call(name, input);
