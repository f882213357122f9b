// What answers the calls of the contract: a function each, of which some come with a part that is loaded later.
import { type CallName, type CallOutput, calls, type ParsedInput } from './contract.ts';
import type { EventName, ServiceEvents } from './events.ts';

export type Handlers = {
  [N in CallName]: (input: ParsedInput<N>) => CallOutput<N> | Promise<CallOutput<N>>;
};

/** Tells every view. */
export type Emit = <E extends EventName>(event: E, detail: ServiceEvents[E]) => void;

/** Those of one group: the part of their names before the dot. */
export type HandlersOf<G extends string> = Pick<Handlers, Extract<CallName, `${G}.${string}`>>;

/** Answers the calls of a group by a part of the program that is loaded with the first of them. */
export function loadedLater<G extends string>(
  group: G,
  load: () => Promise<HandlersOf<NoInfer<G>>>,
): HandlersOf<G> {
  const answer = (name: string) => async (input: never) => {
    const handlers = new Map(Object.entries<(input: never) => unknown>(await load()));
    return handlers.get(name)!(input);
  };
  const names = Object.keys(calls).filter((name) => name.startsWith(`${group}.`));
  return Object.fromEntries(names.map((name) => [name, answer(name)])) as unknown as HandlersOf<G>;
}
